"""What stands where on the shelves, from when to when, as the plan says it."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.planning.auditing.breach import tidy
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Item, Making
from app.planning.day import Stage
from app.planning.plan import Standing


@dataclass(frozen=True, eq=False)
class Stand:
    """Copies of one group in one place. `group` is what may share a slot."""

    where: Standing
    starts: int
    ends: int
    stage: Stage
    group: tuple[object, ...]
    copies: int
    called: str

    @property
    def width(self) -> int:
        """Return the slots side by side that it takes."""
        return self.stage.slots or 1

    @property
    def holds(self) -> int:
        """Return the copies that may share a slot."""
        return 1 if self.stage.slots else self.stage.copies_per_slot or 1


def stands(ledger: Ledger) -> dict[tuple[str, int], list[Stand]]:
    """Return what stands on each level of each shelf unit, in order of time.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    sizes = {shelf.id: shelf.levels for shelf in ledger.day.kitchen.shelves}
    found: dict[tuple[str, int], list[Stand]] = {}
    for each in _all(ledger):
        where = each.where
        levels = sizes.get(where.shelf, ())
        if each.starts < each.ends and is_within(where, each.width, levels):
            found.setdefault((where.shelf, where.level), []).append(each)
    return found


def is_within(where: Standing, width: int, levels: tuple[int, ...]) -> bool:
    """Tell whether a shelf unit has these slots.

    Parameters
    ----------
    where
        Level and slot, from 1.
    width
        Slots side by side.
    levels
        Slots of each level.
    """
    if not 1 <= where.level <= len(levels):
        return False
    return where.slot >= 1 and where.slot + width - 1 <= levels[where.level - 1]


def _all(ledger: Ledger) -> Iterator[Stand]:
    for item in ledger.items.values():
        if item.stage:
            for where in item.copy.places:
                yield from _stand(ledger, where, item.stage, _group(item), 1, item.copy.id)
    for making in ledger.makings:
        if making.stage:
            for phase in making.batch.phases:
                for where in phase.places or ():
                    group = (making, making.stage.id)
                    called = f"batch {making.batch.id}"
                    number = where.copies or 1
                    yield from _stand(ledger, where, making.stage, group, number, called)


def _stand(
    ledger: Ledger,
    where: Standing,
    stage: Stage,
    group: tuple[object, ...],
    copies: int,
    called: str,
) -> Iterator[Stand]:
    starts, ends = ledger.minute(where.from_), ledger.minute(where.to)
    if starts is not None and ends is not None:
        yield Stand(where, starts, ends, stage, group, copies, tidy(called))


def _group(item: Item) -> tuple[object, ...]:
    """Return what a copy shares a slot with: its batch, its stock entry, or one beat's leavings."""
    origin: Making | object = item.making or item.stock or item.left_by or item
    return (origin, item.copy.stage)
