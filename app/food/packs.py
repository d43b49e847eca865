"""Packs: how many of them hold what is needed."""

from app.food.measures import Quantity, converted


def packs_for(needed: Quantity, pack: Quantity) -> int:
    """Return how many whole packs hold what is needed.

    Raises
    ------
    NotAlike
        If the pack is measured in something else.
    ValueError
        If nothing is in a pack.
    """
    if pack.number <= 0:
        raise ValueError("A pack holds something.")
    packs = converted(needed, pack.unit).number / pack.number
    return max(0, -(-packs.numerator // packs.denominator))
