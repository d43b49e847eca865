"""Which beats come later if a run takes longer, reckoned by the clock, a minute at a time."""

from app.planning.day import Day, Run
from app.planning.minutes import MINUTE_S, Clock

Later = dict[tuple[str, str], tuple[int, int]]


def late_beats(day: Day, late: str, minutes: int) -> Later:
    """Return by how many minutes each beat begins and ends later.

    Parameters
    ----------
    day, late, minutes
        The day, the run that takes longer, and by how much: its first beat begins in time.
    """
    runs = [run for run in day.runs if day.beats_of(run)]
    spans = {run.id: _span_s(day, run) for run in runs}
    moved: dict[str, int] = {late: minutes}
    own = spans[late]
    for run in sorted(runs, key=lambda run: (spans[run.id][0], run.id)):
        if run.id != late and (spans[run.id][0], run.id) > (own[0], late):
            wait = 0
            while any(
                spans[other][1] <= spans[run.id][0] < spans[other][1] + by * MINUTE_S - wait * 60
                for other, by in moved.items()
            ):
                wait += 1
            if wait:
                moved[run.id] = wait
    later: Later = {}
    for run in runs:
        if run.id in moved:
            first_s = min(beat.starts_s for beat in day.beats_of(run))
            for beat in day.beats_of(run):
                is_on_time = run.id == late and beat.starts_s == first_s
                later[run.id, beat.id] = (0 if is_on_time else moved[run.id], moved[run.id])
    return later


def _span_s(day: Day, run: Run) -> tuple[int, int]:
    """Return the seconds at which the first beat of a run begins and the last one ends."""
    beats, starts = day.beats_of(run), Clock(day.timezone).minute(run.starts) * MINUTE_S
    first_s = min(beat.starts_s for beat in beats)
    zero_s = starts - (first_s if run.starts_at_first_beat else 0)
    return zero_s + first_s, zero_s + max(beat.starts_s + beat.lasts_s for beat in beats)
