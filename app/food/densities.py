"""What a volume or a piece weighs: by the user's own row, by the USDA table, or not known."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from app.food.measures import NotAlike, Quantity, base, converted, counted, kind_of, unit_of
from app.food.tables import rows

SOURCE = "USDA SR28"
# Words that say how warm or how soft something is, and nothing of what fills a cup of it.
STATES = ("soft", "softened", "cold", "warm", "chilled", "fresh", "melted", "tepid", "lukewarm")
# Words by which the table counts what a kitchen only counts.
SIZES = frozenset(
    ["large", "medium", "small", "fruit", "whole", "cherry", "melon", "potato", "cucumber"]
)


@dataclass(frozen=True)
class Weight:
    """So much of a food weighs so many grams, and who says so."""

    food: str
    measured: Quantity
    grams: Fraction
    source: str


@dataclass(frozen=True)
class Row:
    """One line of the USDA table."""

    food: str
    ndb_no: str
    measure: str
    measured: Quantity
    grams: Fraction
    refuse_percent: Fraction
    refuse_kind: str


def same(name: str) -> str:
    """Return an ingredient's name as it is compared: no capitals, no doubled blanks."""
    return " ".join(name.lower().replace("’", "'").split())


def grams(name: str, quantity: Quantity, own: Iterable[Weight] = ()) -> Quantity | None:
    """Return what a quantity of an ingredient weighs, None if it is not known.

    Parameters
    ----------
    name
        The ingredient, in a kitchen's words.
    own
        The user's own rows; they go before the table.
    """
    if quantity.kind == "mass":
        return converted(quantity, "g")
    weight = weight_of(name, quantity.unit, own)
    if weight is None:
        return None
    return Quantity(weight.grams * _times(quantity, weight.measured), "g")


def weight_of(name: str, unit: str, own: Iterable[Weight] = ()) -> Weight | None:
    """Return the row that tells what a measure of an ingredient weighs, None if there is none."""
    mine = [each for each in own if same(each.food) == same(name)]
    return _fitting(mine, unit) or _fitting(known_weights(name), unit)


def measured(name: str, mass: Quantity, unit: str, own: Iterable[Weight] = ()) -> Quantity | None:
    """Return the volume or the pieces that weigh so much, None if it is not known."""
    weight = weight_of(name, unit, own)
    if weight is None:
        return None
    one = weight.grams / _times(weight.measured, Quantity(Fraction(1), unit))
    return Quantity(converted(mass, "g").number / one, unit)


def turned(name: str, quantity: Quantity, unit: str, own: Iterable[Weight] = ()) -> Quantity | None:
    """Return a quantity of an ingredient in any other unit, by weight; None if it is not known."""
    own = tuple(own)
    try:
        return converted(quantity, unit)
    except NotAlike:
        mass = grams(name, quantity, own)
    if mass is None or kind_of(unit) == "mass":
        return None if mass is None else converted(mass, unit)
    return measured(name, mass, unit, own)


def known_weights(name: str) -> tuple[Weight, ...]:
    """Return what the USDA table says of an ingredient, the best measure first."""
    return tuple(
        Weight(row.food, row.measured, row.grams, f"{SOURCE} {row.ndb_no}, {row.measure}")
        for row in known_rows(name)
    )


def known_rows(name: str) -> tuple[Row, ...]:
    """Return the rows of the USDA table that an ingredient's name stands for."""
    return _named().get(same(name)) or _named().get(_plain(name)) or ()


@cache
def table() -> tuple[Row, ...]:
    """Return the USDA table."""
    return tuple(
        Row(
            food=each["food"],
            ndb_no=each["ndb_no"],
            measure=each["measure"],
            measured=Quantity(Fraction(each["amount"]), _word(each["measure"])),
            grams=Fraction(each["grams"]),
            refuse_percent=Fraction(each["refuse_percent"] or "0"),
            refuse_kind=each["refuse_kind"],
        )
        for each in rows("usda_sr28_household")
    )


def _fitting(weights: Iterable[Weight], unit: str) -> Weight | None:
    """Return the row in the very unit, else the first of its kind."""
    kind, named = kind_of(unit), unit_of(unit)
    alike = [each for each in weights if kind_of(each.measured.unit) == kind]
    if kind != "count":
        same_unit = (each for each in alike if unit_of(each.measured.unit) == named)
        return next(same_unit, next(iter(alike), None))
    return next((each for each in alike if _is_piece(each.measured.unit, unit)), None)


def _is_piece(measure: str, unit: str) -> bool:
    """Return whether things are counted by this measure: eggs are large ones if nobody says."""
    return counted(measure) == counted(unit) or (not unit and counted(measure) in {"", *SIZES})


def _times(quantity: Quantity, measure: Quantity) -> Fraction:
    if quantity.kind == "count":
        return quantity.number / measure.number
    return base(quantity) / base(measure)


@cache
def _named() -> dict[str, tuple[Row, ...]]:
    """Return the rows of each name: those it stands for, then others measured the same way."""
    lines: dict[tuple[str, str], list[Row]] = {}
    for row in table():
        lines.setdefault((row.ndb_no, row.measure), []).append(row)
    found: dict[str, list[Row]] = {}
    for each in rows("names"):
        (row,) = lines[each["ndb_no"], each["measure"]][:1]
        alike = [more for more in table() if _is_alike(more, row)]
        found.setdefault(each["name"], []).extend([row, *alike])
    return {name: tuple(dict.fromkeys(said)) for name, said in found.items()}


def _is_alike(more: Row, row: Row) -> bool:
    """Return whether a row tells the same food in the same state in another spoon."""
    is_plain = more.measure == more.measured.unit and row.measure == row.measured.unit
    return more.ndb_no == row.ndb_no and is_plain and more.measured.kind == row.measured.kind


def _word(measure: str) -> str:
    """Return the unit that a measure of the table begins with, as it is written there."""
    words = measure.replace(",", " ").split()
    two = " ".join(words[:2])
    if unit_of(two):
        return two
    return words[0] if unit_of(words[0]) else counted(words[0])


def _plain(name: str) -> str:
    """Return a name without what says how warm it is; one egg where eggs are said."""
    words = [word for word in same(name).split() if word not in STATES]
    singular = " ".join([*words[:-1], counted(words[-1])]) if words else ""
    return singular if singular in _named() else " ".join(words)
