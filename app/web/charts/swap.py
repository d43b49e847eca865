"""The swap chart: beats along the top as they air, below a line per tag and its stages.

A copy waits in a bar, bears a black block while it is in front of camera, and goes on in a bar
with a broken edge if a beat left it and something uses it again.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from math import cos, radians, sin

from app.planning.day import Day
from app.planning.minutes import MINUTE_S, Clock
from app.planning.plan import Plan
from app.planning.tasks import tags_in_words
from app.web import words
from app.web.charts.axis import Axis
from app.web.charts.fates import Airing, Fates, Leg, Line, fates, joined
from app.web.charts.told import Teller
from app.web.letters import Letter, letters, stage_codes

LINE, GUTTER, RIGHT, BELOW, CLEAR = 22.0, 100.0, 66.0, 20.0, 7.0
LETTER_W, CODE_W, MADE_W, BEAT_W, RUN_GAP_W = 7.0, 29.0, 7.0, 32.0, 30.0
SLANT = radians(38)
LONGEST_NAME = 24


@dataclass(frozen=True)
class Span:
    """Something drawn from one x to another, with its words; of a run, the second that it ends."""

    x: float
    width: float
    y: float
    title: str = ""
    code: str = ""
    word: str = ""
    is_touched: bool = False
    ends_s: int = 0

    @property
    def right(self) -> float:
        """Return the x of its end."""
        return self.x + self.width


@dataclass(frozen=True)
class Upright:
    """A line from one y down to another."""

    x: float
    top: float
    bottom: float
    label: str = ""


@dataclass(frozen=True)
class Point:
    """A sign or a text at a place."""

    x: float
    y: float
    label: str = ""
    title: str = ""


@dataclass
class Chart:
    """Everything that the template draws, in units of the picture."""

    id: str
    letter: Letter
    title: str
    words: list[str]
    is_rough: bool = False
    width: float = 0.0
    height: float = 0.0
    air: float = 0.0
    gutter: float = GUTTER - CLEAR
    runs: list[Span] = field(default_factory=list)
    beats: list[Span] = field(default_factory=list)
    names: list[Point] = field(default_factory=list)
    tags: list[Point] = field(default_factory=list)
    making: list[Span] = field(default_factory=list)
    waiting: list[Span] = field(default_factory=list)
    labels: list[Span] = field(default_factory=list)
    on_set: list[Span] = field(default_factory=list)
    stands_by: list[Point] = field(default_factory=list)
    guides: list[Upright] = field(default_factory=list)
    joins: list[Upright] = field(default_factory=list)
    dates: list[Upright] = field(default_factory=list)


def swap_chart(
    day: Day, plan: Plan, demonstration: str, width: float = 720.0, *, is_rough: bool = False
) -> Chart:
    """Return the swap chart of one demonstration, at least `width` wide.

    In a rough one only beats, stock and what beats leave have a time; batches merely have an order.
    """
    return _Drawer(day, plan, demonstration, width, is_rough).drawn()


class _Drawer:
    def __init__(
        self, day: Day, plan: Plan, demonstration: str, width: float, is_rough: bool
    ) -> None:
        self.day, self.plan, self.clock, self.is_rough = day, plan, Clock(day.timezone), is_rough
        self.shown = day.demonstration(demonstration)
        self.codes = stage_codes(self.shown)
        self.fates: Fates = fates(day, plan, demonstration)
        self.teller = Teller(day, plan, self.shown, is_rough)
        self.axis = Axis(self._moments(), self._spans(), width - GUTTER - RIGHT)
        self.chart = Chart(
            id=demonstration,
            letter=letters(day, plan)[demonstration],
            title=f"{'Rough swap' if is_rough else 'Swap'} chart of {self.shown.title}",
            is_rough=is_rough,
            words=[self.teller.line(line) for line in self.fates.lines],
        )

    def drawn(self) -> Chart:
        names = [self.shown.beat(each.beat).called[:LONGEST_NAME] for each in self.fates.airings]
        longest = max((len(name) for name in names), default=0)
        top = 34 + longest * LETTER_W * sin(SLANT) if names else 8.0
        self.chart.air = top + 10
        self._draw_runs(top)
        for number, line in enumerate(self.fates.lines):
            self._draw_line(line, self._y(number))
        self._draw_guides()
        self._draw_joins()
        self._draw_dates()
        lean = longest * LETTER_W * cos(SLANT)
        self.chart.width = GUTTER + self.axis.width + max(RIGHT, lean + 8)
        self.chart.height = self._y(len(self.fates.lines)) - LINE / 2 + BELOW
        return self.chart

    def _y(self, number: int) -> float:
        return self.chart.air + 24 + number * LINE

    def _x(self, second: int) -> float:
        return GUTTER + self.axis.x(second)

    def _legs(self) -> Iterator[Leg]:
        for line in self.fates.lines:
            yield from line.legs

    def _moments(self) -> Iterator[int]:
        for each in self.fates.airings:
            yield from (each.starts_s, each.ends_s)
        for leg in self._legs():
            yield from (leg.begins_s, leg.ends_s)
            if leg.worked_from_s is not None:
                yield leg.worked_from_s

    def _spans(self) -> Iterator[tuple[int, int, float]]:
        for each in self.fates.airings:
            yield each.starts_s, each.ends_s, BEAT_W
        for run in self._runs():
            label = f"{self.day.run(run[0].run).called} 00:00"
            yield run[0].starts_s, run[-1].ends_s, len(label) * LETTER_W + 8
        for before, after in self._pairs_of_runs():
            yield before[-1].ends_s, after[0].starts_s, RUN_GAP_W
        for leg in self._legs():
            until = leg.on_set[0].starts_s if leg.on_set else leg.ends_s
            made_s = leg.begins_s if leg.worked_from_s is None else leg.worked_from_s
            yield leg.begins_s, until, CODE_W
            yield made_s, leg.begins_s, MADE_W if until > leg.begins_s else CODE_W

    def _runs(self) -> list[list[Airing]]:
        by_run: dict[str, list[Airing]] = {}
        for each in self.fates.airings:
            by_run.setdefault(each.run, []).append(each)
        return list(by_run.values())

    def _pairs_of_runs(self) -> Iterator[tuple[list[Airing], list[Airing]]]:
        runs = self._runs()
        yield from pairwise(runs)

    def _draw_runs(self, top: float) -> None:
        for airings in self._runs():
            run = self.day.run(airings[0].run)
            ends_s = max(each.ends_s for each in airings)
            x, right = self._x(airings[0].starts_s), self._x(ends_s)
            hour = self._hour(airings[0].starts_s)
            said = Span(x, right - x, 14, word=run.called, code=hour, ends_s=ends_s)
            self.chart.runs.append(said)
            for each in airings:
                self._draw_beat(each, top)

    def _draw_beat(self, each: Airing, top: float) -> None:
        name = self.shown.beat(each.beat).called
        x, right = self._x(each.starts_s), self._x(each.ends_s)
        title = f"{self._hour(each.starts_s)} {self.day.run(each.run).called}: {name}"
        self.chart.beats.append(Span(x, right - x, top + 4, title=title))
        short = name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1] + "…"
        self.chart.names.append(Point((x + right) / 2, top, short, title))

    def _draw_line(self, line: Line, y: float) -> None:
        more = f" ×{len(line.tags)}" if len(line.tags) > 1 else ""
        words = tags_in_words(line.tags)
        self.chart.tags.append(Point(GUTTER - 10, y, f"{line.tags[0]}{more}", words))
        for leg in line.legs:
            self._draw_leg(leg, y)

    def _draw_leg(self, leg: Leg, y: float) -> None:
        title = self.teller.leg(leg)
        begins = self._x(leg.begins_s)
        made = begins if leg.worked_from_s is None else self._x(leg.worked_from_s)
        if made < begins:
            self.chart.making.append(Span(made, begins - made, y, title))
        at_s = leg.begins_s
        pieces: list[tuple[float, float]] = []
        for each in sorted(leg.on_set, key=lambda airing: airing.starts_s):
            pieces.append((self._x(at_s), self._x(each.starts_s)))
            width = self._x(each.ends_s) - self._x(each.starts_s)
            self.chart.on_set.append(Span(self._x(each.starts_s), width, y, title))
            at_s = each.ends_s
        pieces.append((self._x(at_s), max(self._x(leg.ends_s), self._x(at_s))))
        if leg.role == "spare" and not leg.on_set and not leg.backs:
            pieces = [(begins, begins + CODE_W)]
        drawn = [(x, right) for x, right in pieces if right > x]
        for x, right in drawn:
            self.chart.waiting.append(Span(x, right - x, y, title, is_touched=leg.touched))
        for airing in leg.backs:
            self.chart.stands_by.append(Point(self._x(airing.starts_s), y, title=title))
        self._label(leg, y, drawn[0] if drawn else (made, begins))

    def _label(self, leg: Leg, y: float, room: tuple[float, float]) -> None:
        x, right = room
        if right - x < CODE_W - 6:
            return
        word = self.shown.stage(leg.stage).called
        word = f"{word}, extra" if leg.role == "spare" else word
        backed = [self._x(each.starts_s) - 8 for each in leg.backs]
        free = min([right, *(each for each in backed if each > x + CODE_W)]) - x
        fits = (len(self.codes[leg.stage]) + 1.5 + len(word)) * LETTER_W <= free
        code = self.codes[leg.stage]
        self.chart.labels.append(Span(x, right - x, y, code=code, word=word if fits else ""))

    def _draw_guides(self) -> None:
        lowest: dict[Airing, float] = {}
        for number, line in enumerate(self.fates.lines):
            for leg in line.legs:
                for each in (*leg.on_set, *leg.backs):
                    lowest[each] = self._y(number)
        for each, bottom in lowest.items():
            middle = (self._x(each.starts_s) + self._x(each.ends_s)) / 2
            self.chart.guides.append(Upright(middle, self.chart.air, bottom))

    def _draw_joins(self) -> None:
        starts = {batch.id: batch.starts for batch in self.plan.batches}
        for batch, lines in joined(self.plan.batches, self.fates.lines):
            x = GUTTER + self.axis.x(self.clock.minute(starts[batch]) * MINUTE_S)
            self.chart.joins.append(Upright(x, self._y(min(lines)), self._y(max(lines))))

    def _draw_dates(self) -> None:
        bottom = self._y(len(self.fates.lines)) - LINE / 2
        before, free_from = "", 0.0
        on_air = {second for each in self.fates.airings for second in (each.starts_s, each.ends_s)}
        for second in sorted(on_air) if self.is_rough else self.axis.moments:
            date, x = self.clock.date(second // MINUTE_S), self._x(second)
            if date != before:
                label = words.date(date) if x >= free_from else ""
                self.chart.dates.append(Upright(x, self.chart.air, bottom, label))
                free_from = x + len(label) * LETTER_W
            before = date

    def _hour(self, second: int) -> str:
        return self.clock.hour(second // MINUTE_S)
