"""Which runs are on set at once: two crews may do so, so it is told and never refused."""

from typing import NamedTuple

from app.planning.day import Day, Run
from app.planning.minutes import MINUTE_S, Clock, ceil_minute
from app.planning.moments import beat_second


class Overlap(NamedTuple):
    """A run that starts, at `starts`, while an earlier one is on set until `until`; minutes."""

    earlier: Run
    later: Run
    starts: int
    until: int


def on_set(day: Day, run: Run) -> tuple[int, int]:
    """Return the minute at which a run starts and the one by which its last beat has ended."""
    starts = Clock(day.timezone).minute(run.starts)
    ends = [beat_second(day, run, beat.id) + beat.lasts_s for beat in day.beats_of(run)]
    return starts, max((ceil_minute(each) for each in ends), default=ceil_minute(starts * MINUTE_S))


def overlaps(day: Day) -> list[Overlap]:
    """Return each run that starts while another is on set, in clock order."""
    timed = sorted(((*on_set(day, run), run) for run in day.runs), key=lambda each: each[:2])
    found: list[Overlap] = []
    still: list[tuple[int, Run]] = []
    for starts, ends, run in timed:
        still = [each for each in still if each[0] > starts]
        found += [Overlap(earlier, run, starts, until) for until, earlier in still]
        still.append((ends, run))
    return found
