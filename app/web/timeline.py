"""The time line of a rundown: a row a day, a bar a run, drawn on the server.

A bar can be dragged: it says the minute of its day at which it starts, the line how wide one is.
"""

from dataclasses import dataclass

from app.planning.day import Day, Run
from app.planning.minutes import Clock
from app.planning.overlaps import on_set
from app.web import words
from app.web.letters import Letter, letters

WIDE, LEFT, LANE, HEAD, SIGN, HOUR_MIN = 1320, 130, 26, 20, 7.5, 60
LEAST_BAR, GAP, ROOM_H = 3.0, 6.0, 1


@dataclass(frozen=True)
class Bar:
    """One run: where its bar lies, what is written beside it, the minute of its day it starts."""

    run: Run
    letter: Letter
    x: float
    y: float
    width: float
    said: str
    minute: int


@dataclass(frozen=True)
class Lane:
    """One day of the line: its heading, its bars, how far down it begins, how high it is."""

    title: str
    y: float
    height: float
    bars: tuple[Bar, ...]


@dataclass(frozen=True)
class Line:
    """The whole picture, in units of its own; `hours` are the ticks of its axis.

    The axis goes from `first` to `last`, minutes of a day; `scale` is how wide a minute is.
    """

    lanes: tuple[Lane, ...]
    hours: tuple[tuple[float, str], ...]
    height: float
    alternative: str
    first: int
    last: int
    scale: float


def timeline(day: Day) -> Line | None:
    """Return the time line of a day; None if it has no runs."""
    if not day.runs:
        return None
    clock = Clock(day.timezone)
    timed = sorted(((*on_set(day, run), run) for run in day.runs), key=lambda each: each[:2])
    dated: dict[str, list[tuple[int, int, Run]]] = {}
    for starts, ends, run in timed:
        dated.setdefault(clock.date(starts), []).append(
            (_of_day(clock, starts), ends - starts, run)
        )
    first = min(each[0] for runs in dated.values() for each in runs) // HOUR_MIN
    first = max(0, first - ROOM_H)
    last = max(each[0] + each[1] for runs in dated.values() for each in runs) // HOUR_MIN + 1
    last += ROOM_H
    scale = (WIDE - LEFT - 150) / ((last - first) * HOUR_MIN)
    known, lanes, y = letters(day), [], float(HEAD)
    for on, runs in dated.items():
        bars, height = _bars(runs, known, y, first * HOUR_MIN, scale)
        lanes.append(Lane(words.date(on), y, height, bars))
        y += height + GAP
    step = max(1, (last - first) // 12)
    hours = tuple(
        (LEFT + (hour - first) * HOUR_MIN * scale, f"{hour % 24:02d}:00")
        for hour in range(first, last + 1, step)
    )
    axis = first * HOUR_MIN, last * HOUR_MIN
    return Line(tuple(lanes), hours, y, _alternative(dated), *axis, scale)


def _bars(
    runs: list[tuple[int, int, Run]], known: dict[str, Letter], y: float, first: int, scale: float
) -> tuple[tuple[Bar, ...], float]:
    """Return the bars of one day, in as many lanes as their words need, and the day's height."""
    free: list[float] = []
    bars: list[Bar] = []
    for starts, lasts, run in runs:
        x = LEFT + (starts - first) * scale
        width = max(LEAST_BAR, lasts * scale)
        said = f"{starts // HOUR_MIN % 24:02d}:{starts % HOUR_MIN:02d} {run.called}"[:44]
        lane = next((at for at, until in enumerate(free) if until <= x), len(free))
        until = x + width + len(said) * SIGN + 3 * GAP
        free[lane : lane + 1] = [until]
        bars.append(Bar(run, known[run.demonstration], x, y + lane * LANE, width, said, starts))
    return tuple(bars), len(free) * LANE


def _of_day(clock: Clock, minute: int) -> int:
    hour = clock.hour(minute)
    return int(hour[:2]) * HOUR_MIN + int(hour[3:])


def _alternative(dated: dict[str, list[tuple[int, int, Run]]]) -> str:
    return " ".join(
        f"{words.date(on)}: "
        + words.listed(
            [
                f"{starts // HOUR_MIN:02d}:{starts % HOUR_MIN:02d} {run.called}"
                for starts, _, run in runs
            ]
        )
        + "."
        for on, runs in dated.items()
    )
