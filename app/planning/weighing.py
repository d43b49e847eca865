"""Ingredients of a batch or a beat, scaled: exact, as a kitchen weighs, and by weight."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from app.food.amounts import scaled
from app.food.densities import grams
from app.food.larder import Larder
from app.food.measures import Quantity
from app.food.rounding import text
from app.planning.day import Ingredient

TO_TASTE = "to taste"
NO_LARDER = Larder()


@dataclass(frozen=True)
class Amount:
    """One ingredient, multiplied; an empty `amount` means to taste.

    `amount` is exact and in the recipe's own `unit`; `shown` is rounded as a kitchen weighs, in
    the measures of the house; `weighs` is the mass of a volume or of pieces where it is known.
    """

    name: str
    amount: str
    unit: str
    contains: tuple[str, ...] = ()
    note: str = ""
    shown: str = ""
    weighs: str = ""


def multiplied(
    ingredients: Iterable[Ingredient],
    copies: int,
    sets: int,
    batches: int,
    larder: Larder = NO_LARDER,
) -> tuple[Amount, ...]:
    """Return ingredients times the copies, the sets or the batches, as each says.

    Parameters
    ----------
    larder
        The measures in which amounts are shown, and the house's own weights.

    Raises
    ------
    ValueError
        If an amount is not a number.
    """
    return tuple(
        _amount(each, scaled(each.amount, each.unit, each.per, copies, sets, batches), larder)
        for each in ingredients
    )


def _amount(ingredient: Ingredient, quantity: Quantity | None, larder: Larder) -> Amount:
    told = Amount(ingredient.name, "", ingredient.unit, ingredient.contains, ingredient.note)
    if quantity is None:
        return replace(told, shown=TO_TASTE)
    mass = None if quantity.kind == "mass" else grams(told.name, quantity, larder.weights)
    return replace(
        told,
        amount=_exactly(quantity.number),
        shown=text(quantity, larder.system),
        weighs="" if mass is None else text(mass, larder.system),
    )


def _exactly(number: Fraction) -> str:
    """Return a number without needless zeros; a decimal times a count always ends."""
    return f"{(Decimal(number.numerator) / Decimal(number.denominator)).normalize():f}"
