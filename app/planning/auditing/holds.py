"""Who holds which item of equipment, from when to when."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Making
from app.planning.day import Equipment


@dataclass(frozen=True, eq=False)
class Hold:
    """Units of an item held for one phase of a batch; `setting` where the item has settings."""

    item: Equipment
    making: Making
    starts: int
    ends: int
    units: int
    setting: int | None


@dataclass(eq=False)
class Holds:
    """All that is held of one item, in order of time."""

    item: Equipment
    all: list[Hold] = field(default_factory=list)

    def put_in_order(self) -> None:
        """Sort what is held by time."""
        self.all.sort(key=lambda hold: (hold.starts, hold.ends))
        self._alone = _alone(self.all)

    def before_each(self) -> Iterator[tuple[Hold, list[Hold]]]:
        """Yield each hold at a setting with those that had the item last, or have it still.

        Of several at one setting, only that which ends last is told.
        """
        latest: dict[int, Hold] = {}
        for hold in self.all:
            if hold.setting is None:
                continue
            ends = max((each.ends for each in latest.values()), default=0)
            since = min(ends, hold.starts + 1)
            yield hold, [each for each in latest.values() if each.ends >= since]
            one = latest.get(hold.setting)
            latest[hold.setting] = one if one and one.ends > hold.ends else hold

    def falls(self, one: Hold, then: Hold) -> bool:
        """Tell whether one batch alone takes the item from one setting to the next."""
        return one.making is then.making and {one, then} <= self._alone


def held(ledger: Ledger) -> dict[str, Holds]:
    """Return what is held of each item.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    found = {item.id: Holds(item) for item in ledger.day.kitchen.equipment}
    for making in ledger.makings:
        for hold in _of_batch(making, found):
            found[hold.item.id].all.append(hold)
    for each in found.values():
        each.put_in_order()
    return found


def _of_batch(making: Making, found: dict[str, Holds]) -> Iterator[Hold]:
    for number, planned in enumerate(making.batch.phases):
        span = making.spans[number]
        if span is None or span[0] >= span[1]:
            continue
        for part in planned.equipment:
            if part.id in found and part.units > 0:
                item = found[part.id].item
                setting = _setting(making, number, item)
                yield Hold(item, making, span[0], span[1], part.units, setting)


def _setting(making: Making, number: int, item: Equipment) -> int | None:
    if item.settings is None or making.way is None or number >= len(making.way.phases):
        return None
    wanted = making.way.phases[number].equipment
    return next((each.setting for each in wanted if each.kind == item.kind), None)


def _alone(in_order: list[Hold]) -> set[Hold]:
    """Return the holds during which no other batch has the item."""
    shared = {hold for hold, until in _others(in_order, 1) if until > hold.starts}
    shared |= {hold for hold, until in _others(in_order[::-1], -1) if -until < hold.ends}
    return set(in_order) - shared


def _others(in_order: list[Hold], sign: int) -> Iterator[tuple[Hold, float]]:
    """Yield each hold with the farthest end (reversed: minus the start) of another batch so far."""
    best: dict[Making | None, float] = {}
    for hold in in_order:
        others = (reach for making, reach in best.items() if making is not hold.making)
        yield hold, max(others, default=float("-inf"))
        reach = hold.ends if sign > 0 else -hold.starts
        best[hold.making] = max(reach, best.get(hold.making, reach))
        if len(best) > 2:
            del best[min(best, key=lambda making: best[making])]
