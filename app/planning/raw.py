"""What may stand above what on a shelf."""

from app.planning.day import Stage


def may_stand_above(upper: Stage, lower: Stage) -> bool:
    """Tell whether food may stand above other food: what drips must not spoil it.

    Source
    ------
    FDA Food Code 3-302.11 (raw apart from ready to eat); the order by cooking temperature is a
    teaching convention.
    """
    if not upper.raw_animal:
        return True
    if lower.ready_to_eat:
        return False
    if lower.raw_animal and upper.cook_to_c is not None and lower.cook_to_c is not None:
        return upper.cook_to_c <= lower.cook_to_c
    return True
