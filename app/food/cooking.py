"""Whether what was to be cooked through was: its core by the thermometer, after the heat."""

from collections.abc import Iterable
from typing import NamedTuple

from app.food.held import Reading
from app.food.limits import ROUNDING_C, Limits, law

# How long after the heat a reading still tells how hot the core became (common practice).
CORE_MIN = 30
COOKED = ("cook_whole_c", "cook_ground_c", "cook_poultry_c")


class Core(NamedTuple):
    """A core that was measured too cold.

    Attributes
    ----------
    of
        The copy that was measured.
    wanted_c, celsius
        What is due, and the hottest that was measured, in °C.
    at
        The minute of that reading.
    """

    of: str
    wanted_c: float
    celsius: float
    at: int


def core(
    of: str, wanted_c: float, starts: int, ends: int, readings: Iterable[Reading]
) -> Core | None:
    """Return a core that is too cold, None where it is hot enough or nobody has measured it.

    What is cooked on and measured again is judged by the hotter reading, however late it is.

    Parameters
    ----------
    of
        The copy.
    wanted_c
        What its core is cooked to, in °C.
    starts, ends
        The minutes in which it is in the heat.
    readings
        What was measured of it, in any order.

    Source
    ------
    FDA Food Code 3-401.11: all parts of the food are heated to the temperature.
    """
    told = [each for each in readings if each.at >= starts]
    if is_hot(told, wanted_c) or not any(each.at <= ends + CORE_MIN for each in told):
        return None
    best = max(told, key=lambda each: each.celsius)
    return Core(of, wanted_c, best.celsius, best.at)


def is_hot(readings: Iterable[Reading], wanted_c: float) -> bool:
    """Return whether a reading shows that a core became as hot as is due."""
    return any(each.celsius >= wanted_c - ROUNDING_C for each in readings)


def rule(limits: Limits, wanted_c: float) -> str:
    """Return where a temperature of cooking stands: section, edition, what it is for.

    One that is no law's is the demonstration's own.
    """
    for row in law(limits.law).rows:
        if row.limit in COOKED and row.value == wanted_c:
            return f"{row.section}, {row.edition}: {row.words}"
    return "the demonstration’s own figure"
