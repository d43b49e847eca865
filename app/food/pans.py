"""Pans and containers, and how many of them stand on a shelf."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from app.food.tables import rows

NONE = 0


@dataclass(frozen=True)
class Pan:
    """A pan by its outer size, in mm."""

    name: str
    long_mm: Fraction
    wide_mm: Fraction
    source: str


@cache
def pans() -> tuple[Pan, ...]:
    """Return the pans that are known.

    Source
    ------
    EN 631-1 and US sheet pans; each row says where it was read, or that it is from memory.
    """
    return tuple(
        Pan(row["name"], Fraction(row["long_mm"]), Fraction(row["wide_mm"]), row["source"])
        for row in rows("pans")
    )


def pan(name: str) -> Pan:
    """Return a pan by its name.

    Raises
    ------
    KeyError
        If there is none of that name.
    """
    for each in pans():
        if each.name.lower() == name.strip().lower():
            return each
    raise KeyError(name)


def fitting(
    long_mm: Fraction, wide_mm: Fraction, on_long_mm: Fraction, on_wide_mm: Fraction
) -> int:
    """Return how many pans stand flat on a shelf, or in a larger pan, side by side.

    Parameters
    ----------
    long_mm, wide_mm
        The pan.
    on_long_mm, on_wide_mm
        The room. Pans stand along it or across it; in what a block of them leaves free on either
        side, others may stand the other way.
    """
    return max(
        _blocked(*((long_mm, wide_mm)[::way]), *((on_long_mm, on_wide_mm)[::side]))
        for way in (1, -1)
        for side in (1, -1)
    )


def levels(high_mm: Fraction, pan_mm: Fraction, between_mm: Fraction) -> int:
    """Return how many levels a cupboard has, with so much air above each pan."""
    return int(high_mm // (pan_mm + between_mm)) if pan_mm + between_mm > 0 else NONE


def _blocked(long: Fraction, wide: Fraction, on_long: Fraction, on_wide: Fraction) -> int:
    """Return the best of one block and a strip beside it that is filled the other way."""
    across = int(on_wide // wide)
    best = 0
    for along in range(int(on_long // long) + 1):
        rest = on_long - along * long
        turned = int(rest // wide) * int(on_wide // long)
        best = max(best, along * across + turned)
    return best
