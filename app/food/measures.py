"""Measures of a kitchen: masses, volumes, lengths, and whatever else is counted; all exact.

Whatever has no place among the units (a leaf, a clove, a bunch) is counted by its own word.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any, Literal

Kind = Literal["mass", "volume", "length", "count"]
# NIST Handbook 44, Appendix C: the inch is 2.54 cm, the gallon 231 cubic inches, the avoirdupois
# pound 453.59237 g. The imperial gallon is 4.54609 l (UK Weights and Measures Act 1985, from
# memory). Metric cup and spoons of 250, 15 and 5 ml: common practice.
DEFINITIONS = """
gram = [mass]
milligram = gram / 1000
kilogram = 1000 * gram
pound = 453.59237 * gram
ounce = pound / 16
metre = [length]
centimetre = metre / 100
millimetre = metre / 1000
inch = 2.54 * centimetre
millilitre = centimetre ** 3
centilitre = 10 * millilitre
decilitre = 100 * millilitre
litre = 1000 * millilitre
gallon = 231 * inch ** 3
quart = gallon / 4
pint = gallon / 8
cup = gallon / 16
fluid_ounce = gallon / 128
tablespoon = gallon / 256
teaspoon = tablespoon / 3
imperial_pint = 4546.09 * millilitre / 8
imperial_fluid_ounce = imperial_pint / 20
metric_cup = 250 * millilitre
metric_tablespoon = 15 * millilitre
metric_teaspoon = 5 * millilitre
"""
WORDS = {
    "mass": {
        "gram": "g gr gram grams gramme grammes",
        "milligram": "mg milligram milligrams",
        "kilogram": "kg kilo kilos kilogram kilograms",
        "pound": "lb lbs pound pounds",
        "ounce": "oz ounce ounces",
    },
    "volume": {
        "millilitre": "ml millilitre millilitres milliliter milliliters cc",
        "centilitre": "cl centilitre centilitres",
        "decilitre": "dl decilitre decilitres",
        "litre": "l litre litres liter liters",
        "gallon": "gal gallon gallons",
        "quart": "qt quart quarts",
        "pint": "pt pint pints",
        "cup": "c cup cups",
        "fluid_ounce": "fl_oz floz fluid_ounce fluid_ounces",
        "tablespoon": "tbsp tablespoon tablespoons",
        "teaspoon": "tsp teaspoon teaspoons",
        "imperial_pint": "imperial_pint imperial_pints",
        "imperial_fluid_ounce": "imperial_fl_oz imperial_fluid_ounce",
        "metric_cup": "metric_cup metric_cups",
        "metric_tablespoon": "metric_tbsp metric_tablespoon metric_tablespoons",
        "metric_teaspoon": "metric_tsp metric_teaspoon metric_teaspoons",
    },
    "length": {
        "metre": "m metre metres meter meters",
        "centimetre": "cm centimetre centimetres",
        "millimetre": "mm millimetre millimetres",
        "inch": "in inch inches",
    },
}
METRIC = frozenset({"gram", "milligram", "kilogram", "millilitre", "centilitre"}) | {
    "decilitre",
    "litre",
}
SIGNS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8"}
SIGNS |= {"⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = re.compile(r"(?:(\d+(?:[.,]\d+)?|[.,]\d+)(?![\d/]))?\s*(?:(\d+)\s*/\s*(\d+))?")
MOST_DIGITS = 12


class NotAlike(ValueError):
    """Two measures that no table turns into each other; its text is the sentence to show."""


@dataclass(frozen=True)
class Quantity:
    """So much of something: an exact number and the unit as somebody wrote it."""

    number: Fraction
    unit: str = ""

    @property
    def kind(self) -> Kind:
        """Return what is measured."""
        return kind_of(self.unit)

    def __mul__(self, times: int | Fraction) -> "Quantity":
        return Quantity(self.number * times, self.unit)


def unit_of(word: str) -> str | None:
    """Return the unit that a word means, None if it is only counted."""
    plain = re.sub(r"[.\s]+", " ", word).strip().replace(" ", "_")
    return _units().get(plain.lower())


def kind_of(word: str) -> Kind:
    """Return what a unit measures."""
    return _kinds().get(unit_of(word) or "", "count")


def counted(word: str) -> str:
    """Return the word that things are counted by, so that *cloves* and *clove* are one."""
    plain = " ".join(word.lower().split()).rstrip(".")
    if plain.endswith("leaves"):
        return plain[:-6] + "leaf"
    if plain.endswith("toes"):
        return plain[:-2]
    is_plural = len(plain) > 3 and plain.endswith("s") and not plain.endswith("ss")
    return plain[:-1] if is_plural else plain


def exact(amount: float | str) -> Fraction:
    """Return an amount as the fraction that somebody wrote: 0.1 is a tenth.

    Raises
    ------
    ValueError
        If it is no number.
    """
    return Fraction(str(amount))


def read_number(text: str) -> Fraction:
    """Return a number as cooks write them: *1 1/2*, *1½*, *0.5*, *2,25*.

    Raises
    ------
    ValueError
        If it is no number, or one of too many digits.
    """
    plain = text.strip()
    for sign, said in SIGNS.items():
        plain = plain.replace(sign, f" {said}")
    found = _NUMBER.fullmatch(plain.strip())
    if not plain or found is None or len(plain) > MOST_DIGITS or set(found[3] or "1") == {"0"}:
        raise ValueError(text)
    whole = Fraction((found[1] or "0").replace(",", "."))
    return whole + (Fraction(int(found[2]), int(found[3])) if found[2] else 0)


def converted(quantity: Quantity, unit: str) -> Quantity:
    """Return a quantity in another unit of its kind, exactly.

    Raises
    ------
    NotAlike
        If the units measure different things, or are different words of a count.
    """
    known, wanted = unit_of(quantity.unit), unit_of(unit)
    if known is None and wanted is None and counted(quantity.unit) == counted(unit):
        return Quantity(quantity.number, unit)
    if known is None or wanted is None or kind_of(unit) != quantity.kind:
        raise NotAlike(f"{quantity.unit or 'a count'} and {unit or 'a count'} do not compare.")
    return Quantity(quantity.number * _base(known) / _base(wanted), unit)


def base(quantity: Quantity) -> Fraction:
    """Return a quantity in g, ml or m; a count by its own number."""
    unit = unit_of(quantity.unit)
    return quantity.number if unit is None else quantity.number * _base(unit)


def celsius(fahrenheit: Fraction) -> Fraction:
    """Return a temperature in °C of one in °F."""
    return (fahrenheit - 32) * Fraction(5, 9)


def fahrenheit(celsius: Fraction) -> Fraction:
    """Return a temperature in °F of one in °C."""
    return celsius * Fraction(9, 5) + 32


@cache
def _units() -> dict[str, str]:
    spelt = [each for units in WORDS.values() for each in units.items()]
    return {word: unit for unit, words in spelt for word in words.split()}


@cache
def _kinds() -> dict[str, Kind]:
    kinds: dict[str, Kind] = {"mass": "mass", "volume": "volume", "length": "length"}
    return {unit: kinds[kind] for kind, units in WORDS.items() for unit in units}


@cache
def _base(unit: str) -> Fraction:
    """Return how many g, ml or m a unit has."""
    base_unit = {"mass": "gram", "volume": "millilitre", "length": "metre"}[_kinds()[unit]]
    return Fraction(_registry().Quantity(Fraction(1), unit).to(base_unit).magnitude)


@cache
def _registry() -> Any:
    # It takes half a second to come in, and many pages convert nothing.
    from pint import UnitRegistry

    registry: Any = UnitRegistry(None, non_int_type=Fraction)
    registry.load_definitions(DEFINITIONS.strip().splitlines())
    return registry
