"""A cooling food as a curve, and when it reaches a temperature."""

from dataclasses import dataclass
from math import exp


@dataclass(frozen=True)
class Cooling:
    """How a food cools, as far as its readings tell.

    Attributes
    ----------
    at
        The minute of the first reading, from which time counts.
    start_c, air_c
        The food at that minute, and the air it ends at, in °C.
    per_min
        The rate, 1/min.
    doubt
        Covariance of (start, log rate, air), shape (3, 3).
    """

    at: int
    start_c: float
    air_c: float
    per_min: float
    doubt: tuple[tuple[float, ...], ...]

    def celsius(self, minute: float) -> float:
        """Return the temperature at a minute, in °C."""
        left = exp(-self.per_min * (minute - self.at))
        return self.air_c + (self.start_c - self.air_c) * left


@dataclass(frozen=True)
class Reached:
    """When a temperature is reached: likely, and the span that is right nine times out of ten.

    Attributes
    ----------
    likely, earliest, latest
        Minutes; None where the air is too warm for it ever to be reached.
    """

    celsius: float
    likely: float | None
    earliest: float | None
    latest: float | None
