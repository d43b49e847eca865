"""How long a copy may still be eaten, by how it has been kept.

Minutes are whole numbers on any clock, the same for all; temperatures are in °C.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from app.food.held import Failure, Held, Place
from app.food.limits import ROUNDING_C, House, Limits

DAY_MIN = 24 * 60


class Due(NamedTuple):
    """By when a temperature must be reached."""

    celsius: float
    by: int
    limit: str


@dataclass(frozen=True)
class Verdict:
    """What the clocks say of a copy that stays where it is.

    Attributes
    ----------
    limit
        The limit that says so, by its name in `Limits`; empty where none binds.
    until
        The last minute at which it may be eaten; None without a limit.
    since
        From when that is counted.
    dues
        What must be cold by when, while it cools.
    failed
        What a reading found, if it may not be eaten any more whatever the time.
    is_raw_food
        `raw` or `part-cooked`, if that alone forbids it.
    """

    limit: str = ""
    until: int | None = None
    since: int | None = None
    dues: tuple[Due, ...] = ()
    failed: Failure | None = None
    is_raw_food: Literal["raw", "part-cooked", ""] = ""


def verdict(
    held: Held, place: Place, house: House, *, is_raw: bool, day_end: Callable[[int, int], int]
) -> Verdict:
    """Return what the clocks say of a copy that is kept so, and stays where it is.

    Parameters
    ----------
    place
        Where it stays.
    is_raw
        Whether its stage is raw animal food.
    day_end
        Returns the last minute of the day that is so many days after a minute's own.
    """
    raw = _raw_food(held, house, is_raw)
    if held.failed or raw:
        return Verdict(failed=held.failed, is_raw_food=raw)
    if held.since is not None and (held.chilled_at is None or held.is_late):
        limit, span_min = out_limit(held, house)
        until = None if span_min is None else held.since + round(span_min)
        return Verdict(limit, until, held.since)
    days = house.limits.date_mark_days
    if held.control == "heat" or place == "frozen" or days is None or held.made_at is None:
        return Verdict(dues=dues(held, house))
    frozen_days = held.frozen_min // DAY_MIN
    until = day_end(held.made_at, round(days) - 1 + frozen_days)
    return Verdict("date_mark_days", until, held.made_at, dues(held, house))


def label_times(told: Verdict) -> tuple[int, ...]:
    """Return the minutes that a label of time as control bears: one, or two for the long time.

    Source
    ------
    FDA Food Code 3-501.19 (B) (2), (C) (3).
    """
    if told.until is None or told.since is None:
        return ()
    if told.limit == "out_long_min":
        return (told.since, told.until)
    return (told.until,) if told.limit.startswith("out_") else ()


def _raw_food(held: Held, house: House, is_raw: bool) -> Literal["raw", "part-cooked", ""]:
    longest_min = house.limits.first_heat_min
    is_too_long = longest_min is not None and held.first_heat_min > longest_min
    if held.first_heat_min and (is_raw or is_too_long or not house.has_part_cooking):
        return "part-cooked"
    return "raw" if held.is_raw and not is_raw and not held.is_cooked else ""


def dues(held: Held, house: House) -> tuple[Due, ...]:
    """Return what is still to be reached while a copy cools in the cold."""
    if held.since is None or held.chilled_at is None or held.is_late:
        return ()
    limits, found = house.limits, []
    if held.was_hot and not held.is_middle_met and limits.cool_middle_c is not None:
        by = held.since + round(limits.cool_middle_min or 0)
        found.append(Due(limits.cool_middle_c, by, "cool_middle_min"))
    name, whole_min = cooling_span(held, limits)
    if limits.cold_c is not None and whole_min is not None:
        found.append(Due(limits.cold_c, held.since + round(whole_min), name))
    return tuple(found)


def cooling_span(held: Held, limits: Limits) -> tuple[str, float | None]:
    """Return which limit says how fast a copy cools once it is out of control, and its minutes.

    A law without figures for cooling is taken by what it says of food out of the cold.
    """
    name = "cool_whole_min" if held.was_hot else "cool_ambient_min"
    if limits.get(name) is None:
        name = "out_cold_min"
    return name, limits.get(name)


def out_limit(held: Held, house: House) -> tuple[str, float | None]:
    """Return which limit binds a copy out of heat and cold, and its minutes."""
    limits = house.limits
    if limits.hot_room_c is not None and house.room_c > limits.hot_room_c:
        name = "out_hot_room_min"
    elif held.was_hot:
        name = "out_hot_min"
    else:
        name = "out_long_min" if _is_long(held, limits) else "out_cold_min"
    return name, limits.get(name)


def _is_long(held: Held, limits: Limits) -> bool:
    """Return whether the longer time holds: measured cold before, and never too warm since."""
    most_c = limits.out_long_warmest_c
    if not held.was_read_cold or held.warmest_c is None or most_c is None:
        return False
    return limits.out_long_min is not None and held.warmest_c <= most_c + ROUNDING_C
