"""The planned order of the work: what each phase waits for beside its own batch.

Each of the crew, and each unit of an item, goes from phase to phase as the plan says; an item
goes from one setting to the next once all that is in it at the first is out.
"""

from collections.abc import Iterator
from itertools import pairwise

from app.planning.auditing.holds import Hold, Holds, held
from app.planning.auditing.ledger import Ledger
from app.planning.risk.picture import After

PhaseKey = tuple[str, int]
Waiting = dict[PhaseKey, list[tuple[PhaseKey, int]]]
"""Each phase (its batch, the minute that it starts) with those it waits for, and the minutes."""


def crew_order(ledger: Ledger) -> Waiting:
    """Return the phase that each of the crew does before each phase."""
    work: dict[str, list[PhaseKey]] = {}
    for making in ledger.makings:
        for phase, span in zip(making.batch.phases, making.spans, strict=True):
            for cook in phase.crew:
                if span is not None:
                    work.setdefault(cook, []).append((making.batch.id, span[0]))
    found: Waiting = {}
    for phases in work.values():
        in_order = sorted(phases, key=lambda each: each[1])
        for before, then in pairwise(in_order):
            found.setdefault(then, []).append((before, 0))
    return found


def equipment_order(ledger: Ledger) -> Waiting:
    """Return the phases that have each item before each phase."""
    found: Waiting = {}
    for holds in held(ledger).values():
        for hold, before, lag_min in (*_units(holds), *_settings(holds)):
            found.setdefault(_key(hold), []).append((_key(before), lag_min))
    return found


def merged(*orders: Waiting) -> Waiting:
    """Return several orders as one."""
    found: Waiting = {}
    for order in orders:
        for phase, before in order.items():
            found.setdefault(phase, []).extend(before)
    return found


def numbered(
    waits: list[tuple[PhaseKey, int]], numbers: dict[PhaseKey, int], before: int | None = None
) -> tuple[After, ...]:
    """Return what a phase waits for by number, each once and with its longest wait.

    Parameters
    ----------
    waits
        What it waits for beside its own batch.
    numbers
        The number of each phase.
    before
        The number of the phase of its own batch that comes before it, if one does.
    """
    longest: dict[int, int] = {} if before is None else {before: 0}
    for key, lag_min in waits:
        number = numbers[key]
        longest[number] = max(lag_min, longest.get(number, 0))
    return tuple(After(*each) for each in sorted(longest.items()))


def _key(hold: Hold) -> PhaseKey:
    return hold.making.batch.id, hold.starts


def _units(holds: Holds) -> Iterator[tuple[Hold, Hold, int]]:
    """Yield who had each unit before: a batch keeps its own, else the longest idle is taken."""
    last: list[Hold | None] = [None] * holds.item.units
    for hold in holds.all:
        free = sorted(
            (number for number, had in enumerate(last) if had is None or had.ends <= hold.starts),
            key=lambda number: _preference(last[number], hold),
        )
        for number in free[: hold.units]:
            before = last[number]
            if before is not None:
                yield hold, before, 0
            last[number] = hold


def _preference(before: Hold | None, hold: Hold) -> tuple[bool, int]:
    if before is None:
        return True, -1
    is_own = before.making is hold.making and before.ends == hold.starts
    return not is_own, before.ends


def _settings(holds: Holds) -> Iterator[tuple[Hold, Hold, int]]:
    """Yield all that was in an item at the setting before, with the minutes that a change takes."""
    settings = holds.item.settings
    if settings is None:
        return
    before: list[Hold] = []
    now: list[Hold] = []
    for hold in holds.all:
        if now and now[0].setting != hold.setting:
            before, now = now, []
        now.append(hold)
        falls = any(holds.falls(each, hold) for each in before)
        for each in before:
            yield hold, each, 0 if falls else settings.change_min
