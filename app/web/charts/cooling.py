"""The curve of a cooling copy: readings, what they foretell, what is due by when."""

from dataclasses import dataclass

import numpy as np

from app.food.limits import House, degrees
from app.planning.coolings import Watched
from app.planning.minutes import Clock

WIDE, HIGH = 640, 240
LEFT, RIGHT, TOP, BOTTOM = 56, 16, 16, 28
HOUR_MIN = 60
POINTS = 60


@dataclass(frozen=True)
class Mark:
    """A word at a place."""

    x: float
    y: float
    words: str


@dataclass(frozen=True)
class Wanted:
    """A temperature that is due: its line, where it is due, the span in which it is foretold."""

    y: float
    x: float
    words: str
    first: float | None
    last: float | None


@dataclass(frozen=True)
class Curve:
    """A picture of `wide` by `high` units, and the same in words."""

    wide: int
    high: int
    left: int
    bottom: float
    dots: tuple[Mark, ...]
    line: str
    wanted: tuple[Wanted, ...]
    hours: tuple[Mark, ...]
    told: str


def curve(watched: Watched, clock: Clock, house: House) -> Curve:
    """Return the picture of a copy that cools; it has readings and something due."""
    start, end = watched.since, max(step.due.by for step in watched.steps) + 15
    lows = [step.due.celsius for step in watched.steps]
    low_c = min(*lows, *(each.celsius for each in watched.readings), 0.0)
    high_c = max(each.celsius for each in watched.readings) + 5

    def x(minute: float) -> float:
        inside = min(max(minute, start), end)
        return round(LEFT + (inside - start) / (end - start) * (WIDE - LEFT - RIGHT), 1)

    def y(celsius: float) -> float:
        return round(TOP + (high_c - celsius) / (high_c - low_c) * (HIGH - TOP - BOTTOM), 1)

    line = ""
    if watched.cooling is not None:
        first = watched.readings[0].at
        minutes = np.linspace(first, end, POINTS)
        line = " ".join(f"{x(each)},{y(watched.cooling.celsius(each))}" for each in minutes)
    return Curve(
        wide=WIDE,
        high=HIGH,
        left=LEFT,
        bottom=HIGH - BOTTOM,
        dots=tuple(
            Mark(x(each.at), y(each.celsius), degrees(each.celsius, house))
            for each in watched.readings
        ),
        line=line,
        wanted=tuple(
            Wanted(
                y=y(step.due.celsius),
                x=x(step.due.by),
                words=degrees(step.due.celsius, house),
                first=None
                if step.reached is None or step.reached.earliest is None
                else x(step.reached.earliest),
                last=None if step.reached is None else x(step.reached.latest or end),
            )
            for step in watched.steps
        ),
        hours=tuple(
            Mark(x(minute), HIGH - 8, clock.hour(minute))
            for minute in range(-(-start // HOUR_MIN) * HOUR_MIN, end + 1, HOUR_MIN)
        ),
        told=_told(watched, clock, house),
    )


def _told(watched: Watched, clock: Clock, house: House) -> str:
    read = ", ".join(
        f"{degrees(each.celsius, house)} at {clock.hour(each.at)}" for each in watched.readings
    )
    due = ", ".join(
        f"{degrees(step.due.celsius, house)} by {clock.hour(step.due.by)}" for step in watched.steps
    )
    return f"Read: {read}. Due: {due}."
