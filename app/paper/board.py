"""Prep board: a page a prep day; time down, person across."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any

from app.paper import face, pdf
from app.paper.lines import LINE_MM, PADS_MM, ROOMY_MM, Line, Lines
from app.paper.paper import Given, Paper
from app.planning.day import Cook, Day, Run
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import Task

TIME_MM = 32
EDGES_MM = 20
COLUMN_MM = 45
# What stands above and below the rows: edges, the date.
HEADS_MM = 48
LACKS_MM = 12
# A name and an hour in the heads stand in 18 pt.
NAME_SIGN_MM, NAME_LINE_MM, NAME_GAP_MM = 3.7, 7.2, 2.0
ROW_MM = 3
# How far the widths follow the work in the columns: not at all, half, wholly.
LEANINGS = (0.0, 0.35, 0.5, 0.75, 1.0)
HOUR_MM = 12
NOBODY = "Ovens and waiting"
MOST_WARNINGS = 12
LONGEST_NAME = 40
Item = Task | Run


@dataclass(frozen=True)
class Row:
    """A part of the day: what each column begins in it, and the runs that start in it."""

    time: str
    runs: tuple[tuple[str, str], ...]
    cells: tuple[tuple[Line, ...], ...]


@dataclass(frozen=True)
class Column:
    """A person, or nobody; on a page it is as wide as what stands in it needs."""

    cook: str | None
    name: str
    hours: tuple[str, ...]
    wide_mm: float = 0

    @property
    def is_roomy(self) -> bool:
        """Return whether both times of a task stand on one line of it."""
        return self.wide_mm >= ROOMY_MM


@dataclass(frozen=True)
class Page:
    """A prep day, or as much of it as fits: the people at work, and who is `idle` meanwhile."""

    date: str
    part: str
    columns: tuple[Column, ...]
    idle: tuple[str, ...]
    rows: tuple[Row, ...]


def pages(day: Day, plan: Plan, sheet: pdf.Sheet) -> list[Page]:
    """Return the pages of a plan, day by day, for sheets that lie on their long side."""
    board = _Board(day, plan, sheet)
    return [page for date in board.dates() for page in board.of(date)]


class _Board:
    """Reads the pages of one plan; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan, sheet: pdf.Sheet) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.lines = Lines(day, plan)
        self.tasks = self.lines.tasks
        self.wide_mm = sheet.high_mm - EDGES_MM - TIME_MM
        self.page_mm = sheet.wide_mm - HEADS_MM
        lacks = min(len(plan.unmet), face.MOST_LACKS + 1)
        self.taken_mm = LACKS_MM + LINE_MM * lacks if lacks else 0.0

    def dates(self) -> list[str]:
        """Return the dates on which something is to be done or to be shown."""
        found = {self.clock.date(task.starts) for task in self.tasks}
        found |= {run.starts[:10] for run in self.day.runs}
        return sorted(found or {self.day.prep_from[:10]})

    def of(self, date: str) -> Iterator[Page]:
        """Yield the pages of one date: as many people as fit across, then the others."""
        columns = self._columns(date)
        parts = -(-len(columns) // int(self.wide_mm // COLUMN_MM))
        each = -(-len(columns) // parts)
        for part in range(parts):
            some = tuple(columns[part * each : (part + 1) * each])
            words = f"people {part + 1} of {parts}" if parts > 1 else ""
            yield from self._part(date, some, words)

    def _part(self, date: str, columns: tuple[Column, ...], words: str) -> Iterator[Page]:
        """Yield pages, each with as much as fits and as wide as that asks for."""
        items, before = [each for each in self._items(date) if _concerns(each, columns)], ""
        while items or not before:
            count, across = min(1, len(items)), self._across(items[:1], columns, date)
            while count < len(items) and (
                fitted := self._fitted(items[: count + 1], columns, date)
            ):
                count, across = count + 1, fitted
            rows = tuple(self._rows(items[:count], across, date, before))
            idle = tuple(each.name for each in columns if _is_idle(each, across))
            yield Page(face.date(date), words, across, idle, rows)
            before = self._hour(items[count - 1])[:2] if items else "none"
            items, self.taken_mm = items[count:], 0.0

    def _fitted(
        self, items: list[Item], columns: tuple[Column, ...], date: str
    ) -> tuple[Column, ...] | None:
        """Return the columns in which items fit on a page; None where they don't."""
        across = self._across(items, columns, date)
        heads_mm = max(_head_mm(each) for each in across)
        left_mm = self.page_mm - self.taken_mm - heads_mm
        return across if self._all_mm(items, across, date) <= left_mm else None

    def _across(
        self, items: list[Item], columns: tuple[Column, ...], date: str
    ) -> tuple[Column, ...]:
        """Return the columns that have work, in the widths in which it stands lowest."""
        held = _held(items, columns)
        busy = [column for column, some in zip(columns, held, strict=True) if some] or [*columns]
        work = [
            1 + sum(self.lines.high_mm(task, ROOMY_MM) for task in some)
            for some in _held(items, tuple(busy))
        ]
        ways = [_shared(busy, work, leaning, self.wide_mm) for leaning in LEANINGS]
        return min(ways, key=lambda across: self._all_mm(items, across, date))

    def _all_mm(self, items: list[Item], columns: tuple[Column, ...], date: str) -> float:
        return sum(self._high_mm(some, columns) for _, some in self._hours_of(items, date))

    def _columns(self, date: str) -> list[Column]:
        here = [cook for cook in self.day.kitchen.crew if self._is_here(cook, date)]
        people = [
            Column(
                cook.id,
                face.clipped(cook.called, LONGEST_NAME),
                tuple(self._hours(cook, date)),
            )
            for cook in here
        ]
        return [*people, Column(None, NOBODY, ("nobody’s hands",))]

    def _is_here(self, cook: Cook, date: str) -> bool:
        return any(True for _ in self._hours(cook, date)) or any(
            cook.id in task.crew and self.clock.date(task.starts) == date for task in self.tasks
        )

    def _hours(self, cook: Cook, date: str) -> Iterator[str]:
        for begins, ends in cook.shifts:
            if begins[:10] <= date <= ends[:10]:
                since = face.hour(begins) if begins[:10] == date else "00:00"
                yield f"{since}–{face.hour(ends) if ends[:10] == date else '24:00'}"

    def _rows(
        self, items: list[Item], columns: tuple[Column, ...], date: str, before: str
    ) -> Iterator[Row]:
        """Yield a row an hour; one that began on the page `before` says from when it goes on."""
        for hour, some in self._hours_of(items, date):
            time = self._hour(some[0]) if hour == before else f"{hour}:00"
            yield self._row(time if hour else "", some, columns, date)

    def _hours_of(self, items: list[Item], date: str) -> Iterator[tuple[str, list[Item]]]:
        """Yield hours and what begins in them; none for what still goes on from the day before."""

        def hour(item: Item) -> str:
            is_older = self.clock.date(self._minute(item)) < date
            return "" if is_older else self._hour(item)[:2]

        for each, some in groupby(items, key=hour):
            yield each, list(some)

    def _items(self, date: str) -> list[Item]:
        """Return what goes on from before, then runs and tasks that begin, in order of time."""
        runs: list[Item] = [run for run in self.day.runs if run.starts[:10] == date]
        tasks = [task for task in self.tasks if self._is_on(task, date)]
        return sorted([*runs, *tasks], key=self._minute)

    def _minute(self, item: Item) -> int:
        return item.starts if isinstance(item, Task) else self.clock.minute(item.starts)

    def _hour(self, item: Item) -> str:
        return self.clock.hour(self._minute(item))

    def _is_on(self, task: Task, date: str) -> bool:
        starts = self.clock.date(task.starts)
        return starts == date or starts < date <= self.clock.date(task.ends)

    def _high_mm(self, items: list[Item], columns: tuple[Column, ...]) -> float:
        runs = HOUR_MM + sum(self.lines.run_mm(each) for each in items if isinstance(each, Run))
        held = [
            sum(self.lines.high_mm(task, column.wide_mm) for task in some)
            for some, column in zip(_held(items, columns), columns, strict=True)
        ]
        return ROW_MM + max(runs, *held)

    def _row(self, time: str, items: list[Item], columns: tuple[Column, ...], date: str) -> Row:
        runs = [each for each in items if isinstance(each, Run)]
        cells = zip(_held(items, columns), columns, strict=True)
        return Row(
            time=time,
            runs=tuple((face.hour(run.starts), self.lines.run(run)) for run in runs),
            cells=tuple(
                tuple(self.lines.of(task, date, column.cook) for task in held)
                for held, column in cells
            ),
        )


def _held(items: Sequence[Item], columns: tuple[Column, ...]) -> list[list[Task]]:
    """Return the tasks of each column."""
    tasks = [each for each in items if isinstance(each, Task)]
    return [[task for task in tasks if _is_in(task, column)] for column in columns]


def _concerns(item: Item, columns: tuple[Column, ...]) -> bool:
    return isinstance(item, Run) or any(_is_in(item, column) for column in columns)


def _is_idle(column: Column, across: tuple[Column, ...]) -> bool:
    return column.cook not in {each.cook for each in across}


def _head_mm(column: Column) -> float:
    """Return about how high the head of a column stands: the name and as many hours as fit."""
    lines, left_mm = 1, column.wide_mm - PADS_MM
    for each in (column.name, *column.hours):
        wide_mm = len(each) * NAME_SIGN_MM + NAME_GAP_MM
        if wide_mm > left_mm:
            lines, left_mm = lines + 1, column.wide_mm - PADS_MM
        left_mm -= wide_mm
    return NAME_LINE_MM * lines


def _shared(
    columns: list[Column], work: list[float], leaning: float, wide_mm: float
) -> tuple[Column, ...]:
    """Return columns that share a width by their work, so far as they lean to it."""
    shares = [each**leaning for each in work]
    spare_mm = wide_mm - COLUMN_MM * len(columns)
    return tuple(
        replace(column, wide_mm=int(COLUMN_MM + spare_mm * share / sum(shares)))
        for column, share in zip(columns, shares, strict=True)
    )


def _is_in(task: Task, column: Column) -> bool:
    return not task.crew if column.cook is None else column.cook in task.crew


def _shown(day: Day, plan: Plan, given: Given) -> dict[str, Any]:
    return {
        "pages": pages(day, plan, given.sheet),
        "where": "on camera" if day.kind == "broadcast" else "in class",
        "warnings": plan.warnings[:MOST_WARNINGS],
        "more": max(0, len(plan.warnings) - MOST_WARNINGS),
    }


PAPER = Paper("board.html", "Prep board", _shown, is_landscape=True)
draw = PAPER.draw
