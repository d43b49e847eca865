"""Published limits of food safety with law, section and edition, and a house's own copy of them.

A limit that a law does not give is None, and binds nothing. Temperatures are in °C, as the laws
print them; where a law prints °F beside it, `ROUNDING_C` lets a thermometer in °F count as well.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache

from app.food.tables import rows

LAWS = ("us", "uk", "home")
ROUNDING_C = 0.12


@dataclass(frozen=True)
class Limits:
    """The limits that a house works by. Temperatures in °C, spans in minutes.

    Attributes
    ----------
    cold_c, hot_c
        Cold food is kept at most, hot food at least at.
    cool_from_c, cool_middle_c, cool_middle_min, cool_whole_min, cool_ambient_min
        Cooked food cools from the first to the second within the first span, and is cold within the
        second; what was made of ingredients at room temperature is cold within the third.
    out_hot_min, out_cold_min
        Time as control: how long food may be out of heat, out of cold.
    out_long_min, out_long_warmest_c
        A longer time out of cold, for what was measured cold and never got warmer than this.
    hot_room_c, out_hot_room_min
        Above this a room is hot, and less time holds.
    date_mark_days
        How many days cold food may be kept; the day on which it is made is the first.
    cook_whole_c, cook_ground_c, cook_poultry_c, reheat_c, reheat_min
        What is cooked and reheated to, for those who cook.
    first_heat_min
        How long part-cooked raw food is heated at first, at most.
    """

    law: str
    cold_c: float | None = None
    hot_c: float | None = None
    cool_from_c: float | None = None
    cool_middle_c: float | None = None
    cool_middle_min: float | None = None
    cool_whole_min: float | None = None
    cool_ambient_min: float | None = None
    out_hot_min: float | None = None
    out_cold_min: float | None = None
    out_long_min: float | None = None
    out_long_warmest_c: float | None = None
    hot_room_c: float | None = None
    out_hot_room_min: float | None = None
    date_mark_days: float | None = None
    cook_whole_c: float | None = None
    cook_ground_c: float | None = None
    cook_poultry_c: float | None = None
    first_heat_min: float | None = None
    reheat_c: float | None = None
    reheat_min: float | None = None

    def get(self, limit: str) -> float | None:
        """Return a limit by its name; None if it is not set."""
        found: float | None = getattr(self, limit)
        return found


@dataclass(frozen=True)
class House:
    """What a house has decided for itself.

    Attributes
    ----------
    limits
        The limits that it works by: a law's, or its own copy.
    allergen_law
        Whose allergens it declares: `us` or `eu`.
    room_c, chill_air_c
        The air of its kitchen and of its chill, in °C.
    has_part_cooking
        Whether it has an approved procedure for part-cooked raw food.
    has_time_control
        Whether it has written down how time is used as the control.
    in_fahrenheit
        Whether its thermometers show °F.
    """

    limits: Limits
    allergen_law: str = "us"
    room_c: float = 21
    chill_air_c: float = 3
    has_part_cooking: bool = False
    has_time_control: bool = False
    in_fahrenheit: bool = False


@dataclass(frozen=True)
class Row:
    """One limit as a law has it: its value, where it stands, what it means.

    `edition` is the law's, or that of the guidance that a figure comes from.
    """

    limit: str
    value: float
    unit: str
    section: str
    words: str
    edition: str


@dataclass(frozen=True)
class Law:
    """The limits of a law, in its order."""

    id: str
    called: str
    edition: str
    rows: tuple[Row, ...]


NAMES = tuple(each.name for each in fields(Limits) if each.name != "law")


@lru_cache
def law(id: str) -> Law:
    """Return the rows of a law.

    Raises
    ------
    ValueError
        If there is no such law.

    Source
    ------
    FDA Food Code, read in state texts that keep its numbering; SI 2013/2996; a USDA statement. The
    UK's law gives no figures for cooking; those are its published guidance: the ACMSF report on the
    safe cooking of burgers (March 2007, read in its text), the Food Standards Agency's advice (its
    page read in part, its list of equals in three texts that cite it), SSI 2006/3, Schedule 4.
    """
    mine = [row for row in rows("limits") if row["law"] == id]
    if not mine:
        raise ValueError(f"no law {id!r}; there are {', '.join(LAWS)}")
    edition = mine[0]["edition"]
    told = tuple(
        Row(
            row["limit"],
            float(row["value"]),
            row["unit"],
            row["section"],
            row["words"],
            row["edition"] or edition,
        )
        for row in mine
    )
    return Law(id, mine[0]["called"], edition, told)


def limits(id: str, own: Mapping[str, float | None] | None = None) -> Limits:
    """Return the limits of a law, with what a house has changed in its copy.

    Parameters
    ----------
    own
        Limits of the house by name, in °C, minutes or days; None sets one aside.

    Raises
    ------
    ValueError
        If there is no such law, or no such limit.
    """
    unknown = set(own or {}) - set(NAMES)
    if unknown:
        raise ValueError(f"no such limits: {', '.join(sorted(unknown))}")
    published = Limits(law=id, **{row.limit: row.value for row in law(id).rows})
    return replace(published, **(own or {}))  # type: ignore[arg-type]


def section(limits: Limits, limit: str) -> str:
    """Return where a limit stands: the section of its law, or that it is the house's own."""
    for row in law(limits.law).rows:
        if row.limit == limit and row.value == limits.get(limit):
            return row.section
    return "the house's own limit"


def degrees(celsius: float, house: House) -> str:
    """Return a temperature as the house's thermometers show it: *21 °C*, *70 °F*."""
    shown = celsius * 1.8 + 32 if house.in_fahrenheit else celsius
    # Laws print whole degrees of both; a probe shows tenths.
    rounded = round(shown) if house.in_fahrenheit else round(shown, 1)
    return f"{rounded:g} °{'F' if house.in_fahrenheit else 'C'}"
