"""What dies if a run takes longer: one play in which nothing else differs from the plan.

All the time is lost in the first beat of the run, the worst place for it. The run's other beats
start so much later; a run that the rundown has after it starts when it should, unless the stage
is still taken, and then as soon as it is free.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from app.planning.auditing.ledger import Ledger
from app.planning.auditing.moments import UseKey
from app.planning.happened import Happened
from app.planning.minutes import MINUTE_S
from app.planning.moments import beat_second
from app.planning.risk.dice import Certain
from app.planning.risk.found import Fall, Overrun
from app.planning.risk.picture import Picture
from app.planning.risk.play import Play, Shift
from app.planning.risk.tally import Fallen, Story, Tally

LONGER_MIN = 10


@dataclass(frozen=True)
class Pass:
    """A run on the clock, in seconds, and when each of its beats to come starts."""

    run: str
    starts_s: int
    ends_s: int
    beats: Mapping[str, int]


def overruns(ledger: Ledger, picture: Picture, state: Happened | None = None) -> Iterator[Overrun]:
    """Yield, in air order, what follows of each run's taking ten minutes longer.

    Parameters
    ----------
    ledger, picture
        The day and its plan side by side, and their picture.
    state
        What has happened by now, if that is known: of a run under way the rest comes later.
    """
    passes, story = _passes(ledger, state), Story()
    plays = len(passes) + 1
    shifts = _shifts_of_each(passes, plays)
    Play(picture, Certain(plays), Tally(), shifts=shifts, story=story).run()
    # In the last play no run is late: what falls there falls without it.
    anyhow = {replace(each, play=0) for each in story.fallen if each.play == plays - 1}
    short = {need for of, need in story.short if of == plays - 1}
    for play, late in enumerate(passes):
        fallen = [each for each in story.fallen if each.play == play]
        by_it = [each for each in dict.fromkeys(fallen) if replace(each, play=0) not in anyhow]
        yield Overrun(
            run=late.run,
            minutes=LONGER_MIN,
            falls=tuple(_fall(ledger, picture, each) for each in by_it),
            short=tuple(
                picture.servings[need].key
                for of, need in story.short
                if of == play and need not in short
            ),
        )


def _shifts_of_each(passes: list[Pass], plays: int) -> dict[UseKey, Shift]:
    """Return by how many minutes each beat starts and ends later, in a play for each run."""
    shifts: dict[UseKey, Shift] = {}
    for play, late in enumerate(passes):
        for beat, minutes in _shifts(late, passes[play + 1 :]).items():
            fresh = np.zeros((2, plays), dtype=np.int64)
            starts, ends = shifts.setdefault(beat, (fresh[0], fresh[1]))
            starts[play], ends[play] = minutes
    return shifts


def _passes(ledger: Ledger, state: Happened | None) -> list[Pass]:
    day, passes = ledger.day, []
    for run in day.runs:
        beats = day.beats_of(run)
        if beats:
            starts = {beat.id: beat_second(day, run, beat.id) for beat in beats}
            ends_s = max(starts[beat.id] + beat.lasts_s for beat in beats)
            to_come = {
                beat: starts_s
                for beat, starts_s in starts.items()
                if state is None or not _is_over(state, (run.id, beat), starts_s)
            }
            if to_come:
                passes.append(Pass(run.id, min(starts.values()), ends_s, to_come))
    return sorted(passes, key=lambda each: (each.starts_s, each.run))


def _is_over(state: Happened, beat: UseKey, starts_s: int) -> bool:
    return beat in state.aired or starts_s <= state.now * MINUTE_S


def _shifts(late: Pass, after: list[Pass]) -> dict[UseKey, tuple[int, int]]:
    """Return by how many minutes each beat starts and ends later."""
    longer = (LONGER_MIN, LONGER_MIN)
    shifts = {
        (late.run, beat): longer if starts_s > late.starts_s else (0, LONGER_MIN)
        for beat, starts_s in late.beats.items()
    }
    over = [(late.ends_s, late.ends_s + LONGER_MIN * MINUTE_S)]
    for each in after:
        free_s = max((now for planned, now in over if planned <= each.starts_s), default=0)
        late_s = free_s - each.starts_s
        if late_s > 0:
            late_min = -(-late_s // MINUTE_S)
            shifts |= {(each.run, beat): (late_min, late_min) for beat in each.beats}
            over.append((each.ends_s, each.ends_s + late_min * MINUTE_S))
    return shifts


def _fall(ledger: Ledger, picture: Picture, fallen: Fallen) -> Fall:
    copy = ledger.items[picture.names[fallen.copy]].copy
    is_batch = isinstance(fallen.taker, str)
    return Fall(
        copy_id=copy.id,
        tag=copy.tag,
        why=fallen.why,
        use=None if isinstance(fallen.taker, str) else fallen.taker,
        batch=fallen.taker if is_batch else None,
        is_backup=fallen.is_backup,
    )
