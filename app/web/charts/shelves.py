"""The shelves, drawn from the front: levels from the top, and what stands in each slot."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.planning.day import Day
from app.planning.standing import Stay


@dataclass(frozen=True)
class Slot:
    """A slot, or several side by side that one copy takes, with all that stands in it."""

    number: int
    wide: int
    stays: tuple[Stay, ...]


@dataclass(frozen=True)
class Unit:
    """One shelf unit; `levels` from the top, each with its slots from the left."""

    id: str
    name: str
    zone: str
    levels: tuple[tuple[Slot, ...], ...]

    @property
    def taken(self) -> int:
        """Return how many slots are taken."""
        return sum(slot.wide for level in self.levels for slot in level if slot.stays)

    @property
    def slots(self) -> int:
        """Return how many slots there are."""
        return sum(slot.wide for level in self.levels for slot in level)

    @property
    def widest(self) -> int:
        """Return the slots of the widest level."""
        return max((sum(slot.wide for slot in level) for level in self.levels), default=0)


def units(day: Day, standing: Iterable[Stay]) -> list[Unit]:
    """Return every shelf unit of a day with what stands there."""
    there: dict[tuple[str, int], list[Stay]] = {}
    for stay in standing:
        there.setdefault((stay.shelf, stay.level), []).append(stay)
    return [
        Unit(
            shelf.id,
            shelf.called,
            shelf.zone,
            tuple(
                _level(slots, there.get((shelf.id, level), []))
                for level, slots in enumerate(shelf.levels, 1)
            ),
        )
        for shelf in day.kitchen.shelves
    ]


def _level(slots: int, standing: list[Stay]) -> tuple[Slot, ...]:
    drawn: list[Slot] = []
    number = 1
    while number <= slots:
        here = tuple(stay for stay in standing if stay.slot == number)
        wide = max((stay.wide for stay in here), default=1)
        drawn.append(Slot(number, wide, here))
        number += wide
    return tuple(drawn)
