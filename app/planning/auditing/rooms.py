"""Who shares a slot with whom, and what stands above what."""

from bisect import bisect_left
from collections.abc import Iterator
from itertools import groupby

from app.planning.auditing.breach import Breach, Breaches
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.stands import Stand

Found = dict[tuple[str, int], list[Stand]]
Kind = tuple[int, int]


def shared_slots(ledger: Ledger, found: Found) -> Breaches:
    """Yield the slots that hold copies of two groups, or more copies than fit.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    found
        What stands on each level.
    """
    for (unit, level), all_there in found.items():
        for slot, there in _by_slot(all_there):
            for one, other, why in _clashes(ledger, there):
                yield Breach(
                    "shelf",
                    (unit, one.called, other.called),
                    f"{other.called} and {one.called} are in {unit} level {level} slot {slot} at "
                    f"{ledger.at(other.starts)}: {why}.",
                )


def _by_slot(there: list[Stand]) -> Iterator[tuple[int, list[Stand]]]:
    """Yield each slot that something begins in, with all that take it."""
    begun = sorted({stand.where.slot for stand in there})
    slots: dict[int, list[Stand]] = {slot: [] for slot in begun}
    for stand in there:
        at = bisect_left(begun, stand.where.slot)
        while at < len(begun) and begun[at] < stand.where.slot + stand.width:
            slots[begun[at]].append(stand)
            at += 1
    yield from slots.items()


def _changes(there: list[Stand]) -> Iterator[tuple[Stand, bool]]:
    """Yield who comes (True) and goes in order of time, who goes first."""
    changes = [(stand.ends, False, stand) for stand in there]
    changes += [(stand.starts, True, stand) for stand in there]
    for _, comes, stand in sorted(changes, key=lambda change: change[:2]):
        yield stand, comes


def _stands_already(ledger: Ledger, stand: Stand) -> bool:
    """Tell whether something stands since before now, wherever it really does."""
    now = ledger.history.now
    return now is not None and stand.starts <= now


def _clashes(ledger: Ledger, there: list[Stand]) -> Iterator[tuple[Stand, Stand, str]]:
    """Yield pairs that may not be in one slot together, each newcomer once."""
    inside: dict[Stand, None] = {}
    for stand, comes in _changes(there):
        if not comes:
            inside.pop(stand, None)
            continue
        why = None if _stands_already(ledger, stand) else _why_not(stand, inside)
        if why:
            yield why[0], stand, why[1]
        else:
            inside[stand] = None


def _why_not(stand: Stand, inside: dict[Stand, None]) -> tuple[Stand, str] | None:
    """Return whom a newcomer cannot share a slot with, and why; None if it can."""
    copies = 0
    for other in inside:
        if other.group != stand.group or other.where.slot != stand.where.slot:
            return other, "only copies of one batch, stock entry or beat share a slot"
        copies += other.copies
    if copies + stand.copies > stand.holds:
        return next(iter(inside), stand), f"it holds {stand.holds}, not {copies + stand.copies}"
    return None


def raw_above(ledger: Ledger, found: Found) -> Breaches:
    """Yield raw animal food above what is eaten as it is, or above what cooks less hot.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    found
        What stands on each level.
    """
    by_unit = groupby(sorted(found.items(), key=lambda pair: pair[0]), key=lambda pair: pair[0][0])
    for unit, levels in by_unit:
        there = [stand for _, stands in levels for stand in stands if _matters(stand)]
        for upper, lower in _one_above(there):
            if _stands_already(ledger, upper) and _stands_already(ledger, lower):
                continue
            minute = max(upper.starts, lower.starts)
            yield Breach(
                "shelf",
                (unit, upper.called, lower.called),
                f"{upper.called} is raw and stands above {lower.called} in {unit} at "
                f"{ledger.at(minute)}, levels {upper.where.level} and {lower.where.level}.",
            )


def _matters(stand: Stand) -> bool:
    return stand.stage.raw_animal or stand.stage.ready_to_eat


def _one_above(there: list[Stand]) -> Iterator[tuple[Stand, Stand]]:
    """Yield who stands above whom and may not, each newcomer once for a level and a stage."""
    inside: dict[Kind, dict[Stand, None]] = {}
    for stand, comes in _changes(there):
        kind = stand.where.level, id(stand.stage)
        if not comes:
            inside[kind].pop(stand)
            continue
        for others in inside.values():
            other = next(iter(others), None)
            if other and _may_not(stand, other):
                yield stand, other
            if other and _may_not(other, stand):
                yield other, stand
        inside.setdefault(kind, {})[stand] = None


def _may_not(upper: Stand, lower: Stand) -> bool:
    """Tell whether one may not stand above the other."""
    if upper.where.level >= lower.where.level or not upper.stage.raw_animal:
        return False
    if lower.stage.ready_to_eat:
        return True
    hot, cool = upper.stage.cook_to_c, lower.stage.cook_to_c
    if hot is None or cool is None or not lower.stage.raw_animal:
        return False
    return hot > cool
