"""Baker's percentages, the water of a dough, and the ice in it."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from app.food.yields import WHOLE

# Melting 1 g of ice takes as much heat as cooling 80 g of water by 1 °C (334 J/g over 4.19 J/g K).
ICE_C = 80


def weights(total: Fraction, percents: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """Return what each part of a dough weighs, in the unit of `total`.

    Parameters
    ----------
    total
        What all of it weighs.
    percents
        Each part in percent of all flour; the flours themselves add up to 100.

    Raises
    ------
    ValueError
        If there is nothing in it.

    Source
    ------
    Published worked example: 73 doughs of 390 g at 170 % take 16 747.06 g of flour. A printed
    manual divides 300 lb at 169.2 % the wrong way; flour is 300 ÷ 1.692.
    """
    whole = sum(percents.values(), Fraction(0))
    if whole <= 0:
        raise ValueError("A dough without a percentage weighs nothing.")
    return {part: total * percent / whole for part, percent in percents.items()}


def percents(parts: Mapping[str, Fraction], flours: Iterable[str]) -> dict[str, Fraction]:
    """Return each part in percent of all flour.

    Parameters
    ----------
    parts
        What each part weighs, all in one unit.
    flours
        Which of them are flour.

    Raises
    ------
    ValueError
        If there is no flour.
    """
    flour = sum((parts[each] for each in flours), Fraction(0))
    if flour <= 0:
        raise ValueError("Baker's percentages are of the flour, and there is none.")
    return {part: weight * WHOLE / flour for part, weight in parts.items()}


def water_degrees(
    wanted: Fraction, flour: Fraction, room: Fraction, friction: Fraction, *more: Fraction
) -> Fraction:
    """Return how warm the water has to be for a dough of a wanted temperature.

    Parameters
    ----------
    wanted, flour, room
        Temperatures, all in °C or all in °F.
    friction
        By how many such degrees this mixer warms a dough, times the number of temperatures.
    more
        Temperatures of what else goes in, such as a starter.

    Source
    ------
    Trade press, Pizza Today, June 2018: 3 × 80 − (65 + 75 + 35) = 65 °F.
    """
    return (3 + len(more)) * wanted - (flour + room + friction + sum(more, Fraction(0)))


def friction_degrees(
    dough: Fraction, flour: Fraction, room: Fraction, water: Fraction, *more: Fraction
) -> Fraction:
    """Return the friction of a mixer, from a dough that came out of it: the same sum, solved."""
    return water_degrees(dough, flour, room, water, *more)


def ice(water: Fraction, tap_c: Fraction, wanted_c: Fraction) -> Fraction:
    """Return how much of the water goes in as ice, in the unit of `water`.

    Parameters
    ----------
    water
        All of it, the ice included.
    tap_c, wanted_c
        What comes from the tap, and how cold it should act, in °C.

    Raises
    ------
    ValueError
        If more ice would be needed than there is water.

    Source
    ------
    Heat given by the water equals heat taken by the ice; as used by bakers, *common practice*.
    """
    if wanted_c >= tap_c:
        return Fraction(0)
    needed = water * (tap_c - wanted_c) / (tap_c + ICE_C)
    if needed > water:
        raise ValueError("Even all of the water as ice would be too warm: chill the flour.")
    return needed
