"""Readings and ticks beside a plan: what its clocks take from them, and the copies that they spoil.

What is told may be events of a file or ticks of the store: both have the same values.
"""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple, TypeGuard

from app.food.held import Reading
from app.food.limits import House
from app.planning.day import Day
from app.planning.events import AnyEvent, Event, Lost, Measured, Staged, Started, Undone
from app.planning.histories import Watch
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.spoilt import Spoiling, Spoilt, lost_because
from app.planning.undoing import standing

LONGEST_WHY = 500
SPOILT, BACK = "spoilt-", "back-"


class Found(NamedTuple):
    """What readings find: losses that they told and do not show any more, and copies to lose."""

    regained: list[Lost]
    spoilt: list[Spoilt]


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
    known = {copy: tuple(each) for copy, each in readings.items()}
    return Watch(house, known, late_by(day, plan, started, staged), frozenset(decided))


def late_by(
    day: Day, plan: Plan, started: Mapping[str, str], staged: Mapping[str, str]
) -> dict[str, int]:
    """Return by how many minutes batches are later than planned, where somebody said so.

    Parameters
    ----------
    started, staged
        As for `watch_of`.
    """
    clock, late_min = Clock(day.timezone), {}
    for batch in plan.batches:
        # Who forgot to tick ticks late: the earliest that can be is taken, so that no clock starts
        # late.
        told = [(started.get(batch.id), batch.starts), (staged.get(batch.id), batch.ends)]
        late = [clock.minute(at) - clock.minute(due) for at, due in told if at is not None]
        if min(late, default=0):
            late_min[batch.id] = min(late)
    return late_min


def found_by(spoiling: Spoiling, told: Sequence[Event], now: int) -> Found:
    """Return what the readings and ticks that stand find of the copies for eating.

    A loss that they told is taken back once what showed it was; one that somebody ticked stays. A
    copy that somebody took back by name, against its readings, is lost again by a new reading only.

    Parameters
    ----------
    told
        All that was told, what was taken back as well, in order.
    now
        The minute from which tastings are looked at.
    """
    stands = standing(told)
    clock, known = Clock(spoiling.day.timezone), spoiling.copies
    last_undo = max((each.n or 0 for each in told if isinstance(each, Undone)), default=0)
    losses = [each for each in stands if is_by_readings(each)]
    regained = [
        each
        for each in losses
        if (each.n or 0) < last_undo
        and each.copy_id in known
        and not spoiling.is_spoilt(known[each.copy_id], clock.minute(each.at))
    ]
    insisted = _insisted(told, stands)
    spoilt = [each for each in spoiling.losses(now) if each.copy.id not in insisted]
    return Found(regained, spoilt)


def told_by_readings(told: Iterable[Event]) -> bool:
    """Return whether readings told a loss that stands."""
    return any(is_by_readings(each) for each in standing(told))


def spoilt_by(
    day: Day, plan: Plan, events: Sequence[AnyEvent], house: House, now: int
) -> list[Lost | Undone]:
    """Return what follows from what was told, as further events.

    Copies for eating that are spoilt are lost, but for those that may still be cooked on; losses
    that readings told are taken back where they do not show them any more.

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
    if watch.is_bare and not told_by_readings(told):
        return []
    lost = {each.copy_id for each in told if isinstance(each, Lost)}
    lost |= {copy for each in told if isinstance(each, Staged) for copy in each.lost}
    found = found_by(Spoiling(day, plan, watch, lost), events, now)
    last, n = events[-1], (events[-1].n or 0) + 1
    back = [_back(last, each, n + number) for number, each in enumerate(found.regained)]
    n += len(back)
    return [*back, *(_lost(day, last, each, n + k) for k, each in enumerate(found.spoilt))]


def is_by_readings(event: Event) -> TypeGuard[Lost]:
    """Return whether an event is a loss that readings told, and nobody ticked."""
    return isinstance(event, Lost) and event.once.startswith(SPOILT)


def _insisted(told: Sequence[Event], stands: Sequence[Event]) -> set[str]:
    """Return the copies that somebody took back though readings had told their loss."""
    losses = {each.n: each.copy_id for each in told if is_by_readings(each)}
    back = {
        losses[each.undoes]: each.n or 0
        for each in stands
        if isinstance(each, Undone) and each.undoes in losses and not each.once.startswith(BACK)
    }
    read = {each.copy_id: each.n or 0 for each in stands if isinstance(each, Measured)}
    return {copy for copy, n in back.items() if read.get(copy, 0) < n}


def _back(last: AnyEvent, loss: Lost, n: int) -> Undone:
    at, by, once = taken_back_by(last, loss)
    return Undone(n=n, at=at, by=by, once=once, undoes=loss.n)


def _lost(day: Day, last: AnyEvent, spoilt: Spoilt, n: int) -> Lost:
    at, by, once = told_by(last, spoilt)
    said = {"n": n, "at": at, "by": by, "once": once}
    why = lost_because(day, spoilt)[:LONGEST_WHY]
    return Lost.model_validate(said | {"copy": spoilt.copy.id, "why": why})


def told_by(last: Event, spoilt: Spoilt) -> tuple[str, str, str]:
    """Return when, by whom and under which key it is said that a copy is lost.

    The same reading says it under the same key, so that it is said once.
    """
    return last.at, last.by, SPOILT + _key(last, spoilt.copy.id)


def taken_back_by(last: Event, loss: Lost) -> tuple[str, str, str]:
    """Return when, by whom and under which key it is said that a copy is not lost after all."""
    return last.at, last.by, BACK + _key(last, loss.once)


def _key(last: Event, what: str) -> str:
    return hashlib.sha256(f"{last.once} {what}".encode()).hexdigest()[:32]
