"""The demonstrations of a day against the allergens of a law, stage by stage, in own words."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.food.allergens import Law, Named, declared
from app.planning.day import Day, Demonstration
from app.planning.eating import Contained, contained


@dataclass(frozen=True)
class Row:
    """One stage, or a whole demonstration.

    Attributes
    ----------
    cells
        A cell for each allergen of the law, in its order: the words that name it.
    beside
        Words that the law does not name.
    brought
        Each word with the ingredients that bring it.
    """

    name: str
    cells: tuple[tuple[Named, ...], ...]
    beside: tuple[str, ...]
    brought: tuple[Contained, ...]


@dataclass(frozen=True)
class Dish:
    """One demonstration: all of it, then its stages, then what its beats measure on set."""

    demonstration: Demonstration
    whole: Row
    stages: tuple[Row, ...]


def dishes(day: Day, under: Law) -> list[Dish]:
    """Return the table of a day, as its demonstrations stand in it.

    Parameters
    ----------
    under
        The law whose allergens are the columns.
    """
    return [_dish(day, each, under) for each in day.demonstrations]


def _dish(day: Day, dish: Demonstration, under: Law) -> Dish:
    rows = {stage.called: contained(day, dish.id, stage.id) for stage in dish.stages}
    on_set = _gathered(
        Contained(word, (each.name,))
        for beat in dish.beats
        for each in beat.ingredients
        for word in each.contains
    )
    if on_set:
        rows["measured on set"] = on_set
    whole = _gathered(each for row in rows.values() for each in row)
    stages = tuple(_row(name, inside, under) for name, inside in rows.items())
    return Dish(dish, _row("in all", whole, under), stages)


def _gathered(found: Iterable[Contained]) -> list[Contained]:
    told: dict[str, dict[str, None]] = {}
    for each in found:
        told.setdefault(each.allergen, {}).update(dict.fromkeys(each.ingredients))
    return [Contained(word, tuple(names)) for word, names in sorted(told.items())]


def _row(name: str, inside: list[Contained], under: Law) -> Row:
    told = declared((each.allergen for each in inside), under)
    cells = tuple(named for _, named in told.cells)
    return Row(name, cells, told.beside, tuple(inside))
