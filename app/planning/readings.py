"""Readings and ticks beside a plan: what its clocks take from them, and the copies that they spoil.

What is told may be events of a file or ticks of the store: both have the same values.
"""

import hashlib
from collections.abc import Iterable, Mapping, Sequence

from app.food.held import Reading
from app.food.limits import House
from app.planning.day import Day
from app.planning.events import AnyEvent, Lost, Measured, Staged, Started
from app.planning.histories import Watch
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.spoilt import Spoiling, Spoilt, lost_because
from app.planning.undoing import standing

LONGEST_WHY = 500


def watch_of(
    day: Day,
    plan: Plan,
    house: House,
    measured: Iterable[Measured],
    started: Mapping[str, str],
    staged: Mapping[str, str],
    decided: Iterable[str] = (),
) -> Watch:
    """Return what is known beside a plan.

    Parameters
    ----------
    measured
        What thermometers showed.
    started, staged
        When a batch was started and staged, as somebody said, by its id; local times.
    decided
        The keys on which somebody has decided by name.
    """
    clock = Clock(day.timezone)
    readings: dict[str, list[Reading]] = {}
    for each in measured:
        readings.setdefault(each.copy_id, []).append(Reading(clock.minute(each.at), each.celsius))
    late_min = {}
    for batch in plan.batches:
        # Who forgot to tick ticks late: the earliest that can be is taken, so that no clock starts
        # late.
        told = [(started.get(batch.id), batch.starts), (staged.get(batch.id), batch.ends)]
        late = [clock.minute(at) - clock.minute(due) for at, due in told if at is not None]
        if min(late, default=0):
            late_min[batch.id] = min(late)
    known = {copy: tuple(each) for copy, each in readings.items()}
    return Watch(house, known, late_min, frozenset(decided))


def spoilt_by(
    day: Day, plan: Plan, events: Sequence[AnyEvent], house: House, now: int
) -> list[Lost]:
    """Return the copies for eating that what was told finds spoilt, as events that follow it.

    A copy that may still be cooked on is not lost yet.

    Parameters
    ----------
    events
        What has happened, in order; the last of them says when, and who tells it.
    now
        The minute from which tastings are looked at.
    """
    told = list(standing(events))
    measured = [each for each in told if isinstance(each, Measured)]
    started = {each.batch: each.at for each in reversed(told) if isinstance(each, Started)}
    staged = {each.batch: each.at for each in told if isinstance(each, Staged)}
    watch = watch_of(day, plan, house, measured, started, staged)
    if watch.is_bare:
        return []
    lost = {each.copy_id for each in told if isinstance(each, Lost)}
    lost |= {copy for each in told if isinstance(each, Staged) for copy in each.lost}
    found = [each for each in Spoiling(day, plan, watch, lost).found(now) if is_lost(each)]
    return [_lost(day, events[-1], each, number) for number, each in enumerate(found, 1)]


def _lost(day: Day, last: AnyEvent, spoilt: Spoilt, number: int) -> Lost:
    at, by, once = told_by(last, spoilt)
    said = {"n": (last.n or 0) + number, "at": at, "by": by, "once": once}
    why = lost_because(day, spoilt)[:LONGEST_WHY]
    return Lost.model_validate(said | {"copy": spoilt.copy.id, "why": why})


def is_lost(spoilt: Spoilt) -> bool:
    """Return whether a copy is lost by what was found, and not only warned of."""
    return spoilt.is_found and not spoilt.is_mendable


def told_by(last: AnyEvent, spoilt: Spoilt) -> tuple[str, str, str]:
    """Return when, by whom and under which key it is said that a copy is lost.

    The same reading says it under the same key, so that it is said once.
    """
    key = hashlib.sha256(f"{last.once} {spoilt.copy.id}".encode()).hexdigest()[:32]
    return last.at, last.by, f"spoilt-{key}"
