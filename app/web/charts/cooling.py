"""The curve of a cooling copy: readings, what they foretell, what is due by when."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.food.limits import House, degrees
from app.planning.coolings import Watched
from app.planning.minutes import Clock

WIDE, HIGH = 400, 220
LEFT, RIGHT, TOP, BOTTOM = 52, 22, 16, 28
MOST_HOURS = 8
HOUR_MIN = 60
POINTS = 60
ROOM_MIN, ROOM_C = 15, 5


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
    drawer = _Drawer(watched, clock, house)
    return Curve(
        wide=WIDE,
        high=HIGH,
        left=LEFT,
        bottom=HIGH - BOTTOM,
        dots=tuple(drawer.dots()),
        line=drawer.line(),
        wanted=tuple(drawer.wanted()),
        hours=tuple(drawer.hours()),
        told=_told(watched, clock, house),
    )


class _Drawer:
    """Knows where a minute and a temperature lie in one picture."""

    def __init__(self, watched: Watched, clock: Clock, house: House) -> None:
        self.watched, self.clock, self.house = watched, clock, house
        read = [each.celsius for each in watched.readings]
        self.start = min(watched.since, watched.readings[0].at)
        self.end = max(step.due.by for step in watched.steps) + ROOM_MIN
        self.low_c = min(*read, *(step.due.celsius for step in watched.steps), 0.0)
        self.high_c = max(read) + ROOM_C

    def x(self, minute: float) -> float:
        inside = min(max(minute, self.start), self.end)
        share = (inside - self.start) / (self.end - self.start)
        return round(LEFT + share * (WIDE - LEFT - RIGHT), 1)

    def y(self, celsius: float) -> float:
        share = (self.high_c - celsius) / (self.high_c - self.low_c)
        return round(TOP + share * (HIGH - TOP - BOTTOM), 1)

    def dots(self) -> Iterator[Mark]:
        for each in self.watched.readings:
            yield Mark(self.x(each.at), self.y(each.celsius), degrees(each.celsius, self.house))

    def line(self) -> str:
        """Return the points of what the readings foretell."""
        cooling = self.watched.cooling
        if cooling is None:
            return ""
        first = self.watched.readings[0].at
        step = (self.end - first) / (POINTS - 1)
        minutes = (first + step * i for i in range(POINTS))
        return " ".join(f"{self.x(each)},{self.y(cooling.celsius(each))}" for each in minutes)

    def wanted(self) -> Iterator[Wanted]:
        for step in self.watched.steps:
            told = step.reached
            first = None if told is None else told.earliest
            yield Wanted(
                y=self.y(step.due.celsius),
                x=self.x(step.due.by),
                words=degrees(step.due.celsius, self.house),
                first=None if first is None else self.x(first),
                last=None if told is None else self.x(told.latest or self.end),
            )

    def hours(self) -> Iterator[Mark]:
        hours = 1 + (self.end - self.start) // (HOUR_MIN * MOST_HOURS)
        first = -(-self.start // HOUR_MIN) * HOUR_MIN
        for minute in range(first, self.end + 1, HOUR_MIN * hours):
            yield Mark(self.x(minute), HIGH - 8, self.clock.hour(minute))


def _told(watched: Watched, clock: Clock, house: House) -> str:
    read = ", ".join(
        f"{degrees(each.celsius, house)} at {clock.hour(each.at)}" for each in watched.readings
    )
    due = ", ".join(
        f"{degrees(step.due.celsius, house)} by {clock.hour(step.due.by)}" for step in watched.steps
    )
    return f"Read: {read}. Due: {due}."
