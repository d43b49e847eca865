"""How a copy has been kept so far: the values that its clocks are read from.

Minutes are whole numbers on any clock, the same for all; temperatures are in °C.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple

Place = Literal["heat", "hot", "chill", "frozen", "out"]


class Spell(NamedTuple):
    """A span of a copy's life in one place; `ends` is None for a place where it stays."""

    starts: int
    ends: int | None
    place: Place


class Reading(NamedTuple):
    """What a thermometer in the food showed."""

    at: int
    celsius: float


class Failure(NamedTuple):
    """What a reading found: which limit it broke, when, counted from when, at which temperature."""

    limit: str
    at: int
    since: int
    celsius: float


@dataclass(frozen=True)
class Held:
    """How a copy has been kept so far.

    Attributes
    ----------
    control
        What keeps it safe now: heat, cold, or neither.
    since
        The last minute under control, if it is out of control or cooling; else None.
    was_hot, was_cold
        Whether it came out of control from heat: then it cools in two steps; or from cold.
    chilled_at
        When it was put in the cold to cool, if it is there.
    is_late
        Whether that was too late for cold to stop the clock.
    is_middle_met
        Whether a reading showed that the first step of cooling is done.
    was_read_cold, warmest_c
        Whether it was measured cold before it came out, and the warmest reading since.
    good_at
        The last minute at which it is known, or believed, to be under control.
    made_at, frozen_min
        From when the days of its date mark count, and how long of that it was frozen.
    is_raw, is_cooked, first_heat_min
        Whether raw animal food is in it, whether that was heated until it was no longer raw, and
        how long it was heated while it stayed raw.
    failed
        What was found to have gone wrong.
    """

    control: Literal["heat", "cold", ""] = ""
    since: int | None = None
    was_hot: bool = False
    was_cold: bool = False
    chilled_at: int | None = None
    is_late: bool = False
    is_middle_met: bool = False
    was_read_cold: bool = False
    warmest_c: float | None = None
    good_at: int | None = None
    made_at: int | None = None
    frozen_min: int = 0
    is_raw: bool = False
    is_cooked: bool = False
    first_heat_min: int = 0
    failed: Failure | None = None

    @property
    def is_fresh(self) -> bool:
        """Return whether nothing has begun to count yet."""
        return self.since is None and not self.control
