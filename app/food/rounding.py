"""How an exact quantity reads in a kitchen: rounded for a scale, a jug or a spoon.

Only what is shown is rounded. Sums are made of exact numbers and rounded when they are shown.
"""

from fractions import Fraction
from typing import Literal

from app.food.measures import METRIC, Quantity, base, converted, unit_of

System = Literal["as written", "metric", "us"]
SYSTEMS: tuple[System, ...] = ("as written", "metric", "us")
QUARTERS = {Fraction(1, 4): "¼", Fraction(1, 2): "½", Fraction(3, 4): "¾", Fraction(1, 8): "⅛"}
THIRDS = {Fraction(1, 3): "⅓", Fraction(2, 3): "⅔"}
# Up to so much, to such a step: what a kitchen scale and a jug show (common practice).
GRAM_STEPS = ((2, "0.05"), (10, "0.1"), (5_000, "1"), (20_000, "5"), (None, "10"))
ML_STEPS = ((5, "0.1"), (20, "0.5"), (200, "1"), (1_000, "5"), (10_000, "10"), (None, "50"))
PARTS = ("gal", "qt", "pt", "c", "tbsp", "tsp")
SPOON = Fraction(1, 4)
MOST_CUPS, NEAR_ENOUGH = 8, Fraction(1, 100)
# The finest part that still matters, from so many ml on; common practice.
FINEST = ((Fraction(3_785), "c"), (Fraction(236), "tbsp"), (Fraction(0), "tsp"))
Shown = tuple[str, str]


def shown(quantity: Quantity, system: System = "as written") -> Shown:
    """Return number and unit of a quantity, as a kitchen reads it.

    Parameters
    ----------
    quantity
        What is exact.
    system
        The measures of whoever reads it; *as written* keeps to the family of the unit given.
    """
    unit = unit_of(quantity.unit)
    is_metric = unit in METRIC if system == "as written" else system == "metric"
    if quantity.kind == "mass":
        return _grams(base(quantity)) if is_metric else _pounds(quantity)
    if quantity.kind == "volume":
        keeps = system == "as written" and unit is not None and "_" in unit
        if keeps:
            return mixed_number(nearest(quantity.number, SPOON)), quantity.unit
        return _litres(base(quantity)) if is_metric else _cups(quantity)
    return number(quantity.number), quantity.unit


def text(quantity: Quantity, system: System = "as written") -> str:
    """Return a quantity as one phrase: *1.5 kg*, *4 lb 5½ oz*, *3 cloves*."""
    return " ".join(filter(None, shown(quantity, system)))


def number(value: Fraction) -> str:
    """Return a count as people write it: *3*, *2½*, *0.35*."""
    part = value % 1
    if part in QUARTERS or part in THIRDS or not part:
        return mixed_number(value)
    return decimal(nearest(value, Fraction(1, 100))) if value >= Fraction(1, 100) else "0.01"


def mixed_number(value: Fraction) -> str:
    """Return a number with its fraction as a sign: *2¾*."""
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    sign = (QUARTERS | THIRDS).get(part) or f" {part}"
    return f"{whole or ''}{sign}".strip()


def decimal(value: Fraction) -> str:
    """Return a number that ends, without needless zeros: *1.485*."""
    said = f"{float(value):.6f}".rstrip("0").rstrip(".")
    return said or "0"


def nearest(value: Fraction, step: Fraction) -> Fraction:
    """Return the multiple of `step` that lies nearest, never nothing of something."""
    steps = (value / step + Fraction(1, 2)).__floor__()
    return step * (steps or (1 if value > 0 else 0))


def us_volume(quantity: Quantity, finest: str | None = None) -> str:
    """Return a volume in US measures, the large ones first: *19 gal 3 qt 1 pt*.

    Parameters
    ----------
    finest
        The smallest measure used; if not given, the one that matters at this size.

    Source
    ------
    TM 10-412 prints 6 gal × 3.33 as 19 gal 3 qt 1 pt 1 c 10 tbsp 2¾ tsp.
    """
    finest = finest or next(part for least, part in FINEST if base(quantity) >= least)
    step = SPOON if base(quantity) >= 1 else Fraction(1, 8)
    left = converted(Quantity(nearest(converted(quantity, finest).number, step), finest), "tsp")
    parts = PARTS[: PARTS.index(finest) + 1]
    said: list[str] = []
    for part in parts:
        held = converted(left, part).number
        taken = held if part == parts[-1] else Fraction(held.__floor__())
        if taken:
            said.append(f"{mixed_number(taken)} {_called(part, taken, len(said))}")
        left = Quantity(left.number - converted(Quantity(taken, part), "tsp").number, "tsp")
    return " ".join(said) or "0 tsp"


def _cups(quantity: Quantity) -> Shown:
    """Return cups with a plain fraction where one is near enough, else measure after measure."""
    cups = converted(quantity, "cup").number
    for step in (Fraction(1, 4), Fraction(1, 3)):
        near = nearest(cups, step)
        if cups <= MOST_CUPS and abs(near - cups) <= cups * NEAR_ENOUGH:
            return mixed_number(near), "cup" if near <= 1 else "cups"
    return us_volume(quantity), ""


def _called(part: str, number: Fraction, before: int) -> str:
    """Return a measure's word; a cup by itself is written out."""
    return part if part != "c" or before else "cup" if number <= 1 else "cups"


def _grams(grams: Fraction) -> Shown:
    rounded = _stepped(grams, GRAM_STEPS)
    return (decimal(rounded / 1000), "kg") if rounded >= 1000 else (decimal(rounded), "g")


def _litres(ml: Fraction) -> Shown:
    rounded = _stepped(ml, ML_STEPS)
    return (decimal(rounded / 1000), "l") if rounded >= 1000 else (decimal(rounded), "ml")


def _pounds(quantity: Quantity) -> Shown:
    """Return pounds and ounces, to a quarter of an ounce."""
    ounces = converted(quantity, "oz").number
    rounded = nearest(ounces, SPOON if ounces >= 1 else Fraction(1, 8))
    pounds, rest = divmod(rounded, 16)
    if not pounds:
        return mixed_number(rest), "oz"
    return (f"{pounds} lb {mixed_number(rest)}", "oz") if rest else (str(pounds), "lb")


def _stepped(value: Fraction, steps: tuple[tuple[int | None, str], ...]) -> Fraction:
    step = next(step for most, step in steps if most is None or value < most)
    return nearest(value, Fraction(step))
