"""As purchased and edible: what is left after trimming, peeling and boning."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from app.food.densities import SOURCE, known_rows, same
from app.food.tables import rows

WHOLE = Fraction(100)


@dataclass(frozen=True)
class Yield:
    """How much of what is bought can be used, in percent of its weight, and who says so."""

    percent: Fraction
    trimmed: str
    source: str


def purchased(edible: Fraction, percent: Fraction) -> Fraction:
    """Return how much to buy for so much that is edible, in the same unit.

    Parameters
    ----------
    percent
        What is left of 100 bought; above 0 and at most 100.

    Raises
    ------
    ValueError
        If nothing, or more than was bought, would be left.
    """
    return edible * WHOLE / _checked(percent)


def edible(purchased: Fraction, percent: Fraction) -> Fraction:
    """Return how much of what is bought is edible, in the same unit.

    Raises as `purchased` does.
    """
    return purchased * _checked(percent) / WHOLE


def dough_for(baked: Fraction, losses_percent: Iterable[Fraction]) -> Fraction:
    """Return how much dough gives so much when it is baked, in the same unit.

    Parameters
    ----------
    losses_percent
        What each step loses of what reaches it (handling, baking, cooling), one after the other.

    Source
    ------
    Arithmetic: a loss of 2 % and then one of 11 % compound; they don't add up to 13 %.
    """
    needed = baked
    for loss in losses_percent:
        needed = purchased(needed, WHOLE - loss)
    return needed


def known_yield(name: str) -> Yield | None:
    """Return what a table says of an ingredient's yield, None if none does.

    Source
    ------
    Named in each row; else the refuse of the USDA table, which is told in percent of the weight
    as purchased. That of nuts is of nuts in their shells, which kitchens do not buy: left out.
    """
    for row in rows("yields"):
        if same(row["name"]) == same(name):
            return Yield(Fraction(row["percent"]), row["trimmed"], row["source"])
    found = next((row for row in known_rows(name) if row.refuse_percent), None)
    if found is None or found.refuse_kind == "Shells":
        return None
    left = WHOLE - found.refuse_percent
    return Yield(left, found.refuse_kind.lower(), f"{SOURCE} {found.ndb_no}, refuse")


def _checked(percent: Fraction) -> Fraction:
    if not 0 < percent <= WHOLE:
        raise ValueError(f"{float(percent):g} % is no yield: it is above 0 and at most 100.")
    return percent
