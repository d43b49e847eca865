"""Amounts of a recipe: scaled exactly to what is planned, and added up without rounding."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from app.food.densities import Weight, grams
from app.food.measures import Quantity, base, counted, exact

Per = Literal["copy", "set", "batch"]
BASES = {"mass": "g", "volume": "ml", "length": "m"}


@dataclass(frozen=True)
class Sum:
    """All of one ingredient: what could be added up, and whether some of it is to taste.

    Several quantities stand beside each other where nobody knows what a measure weighs.
    """

    quantities: tuple[Quantity, ...]
    is_to_taste: bool = False


def scaled(
    amount: float | None, unit: str, per: Per, copies: int, sets: int, batches: int
) -> Quantity | None:
    """Return an amount times the copies, sets or batches, exactly; None for one to taste.

    Parameters
    ----------
    amount, unit, per
        As the recipe has them; an amount of None is to taste.
    copies, sets, batches
        How many are started: spares count, they are weighed as well.

    Raises
    ------
    ValueError
        If the amount is no number.
    """
    if amount is None:
        return None
    times = {"copy": copies, "set": sets, "batch": batches}[per]
    return Quantity(exact(amount) * times, unit)


def factor(portions: int, wanted: int) -> Fraction:
    """Return by how much a recipe for some portions is multiplied for others.

    Source
    ------
    TM 10-412: from 100 to 348 portions, 3.48.
    """
    return Fraction(wanted, portions)


def added(name: str, quantities: Iterable[Quantity | None], own: Iterable[Weight] = ()) -> Sum:
    """Return the sum of an ingredient's quantities; None is to taste.

    Volumes, pieces and masses become one mass where a table knows what each of them weighs;
    else each kind stands for itself. A sum keeps the unit that all of it had.
    """
    own, told = tuple(own), tuple(quantities)
    kinds = _by_kind(each for each in told if each is not None)
    if len(kinds) > 1:
        weighed = [grams(name, each, own) for each in kinds]
        masses = [each for each in weighed if each is not None]
        rest = [each for each, mass in zip(kinds, weighed, strict=True) if mass is None]
        kinds = _by_kind([*masses, *rest])
    return Sum(tuple(kinds), None in told)


def _by_kind(quantities: Iterable[Quantity]) -> list[Quantity]:
    """Return a quantity for each kind of measure and each word that something is counted by."""
    groups: dict[str, list[Quantity]] = {}
    for each in quantities:
        key = each.kind if each.kind != "count" else f"count {counted(each.unit)}"
        groups.setdefault(key, []).append(each)
    return [_total(group) for group in groups.values()]


def _total(group: list[Quantity]) -> Quantity:
    first = group[0]
    if first.kind == "count" or len({each.unit for each in group}) == 1:
        return Quantity(sum((each.number for each in group), Fraction(0)), first.unit)
    return Quantity(sum((base(each) for each in group), Fraction(0)), BASES[first.kind])
