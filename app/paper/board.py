"""Prep board: a page a prep day; time down, person across."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from app.paper import face, pdf
from app.paper.lines import Line, Lines
from app.paper.paper import Paper
from app.planning.day import Cook, Day, Run
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import Task

TIME_MM = 32
EDGES_MM = 20
COLUMN_MM = 45
ROOMY_MM = 68
HEADS_MM = 66
ROW_MM = 1
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
    """A person, or nobody."""

    cook: str | None
    name: str
    hours: tuple[str, ...]


@dataclass(frozen=True)
class Page:
    """A prep day for as many people as fit across; it goes on where it is long."""

    date: str
    part: str
    is_roomy: bool
    columns: tuple[Column, ...]
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
        self.page_mm = self.left_mm = sheet.wide_mm - HEADS_MM

    def dates(self) -> list[str]:
        """Return the dates on which something is to be done or to be shown."""
        found = {self.clock.date(task.starts) for task in self.tasks}
        found |= {run.starts[:10] for run in self.day.runs}
        return sorted(found or {self.day.prep_from[:10]})

    def of(self, date: str) -> Iterator[Page]:
        """Yield the pages of one date: the same hours, other people."""
        columns = self._columns(date)
        parts = -(-len(columns) // int(self.wide_mm // COLUMN_MM))
        each = -(-len(columns) // parts)
        for part in range(parts):
            self.left_mm = self.page_mm
            some = tuple(columns[part * each : (part + 1) * each])
            words = f"people {part + 1} of {parts}" if parts > 1 else ""
            is_roomy = self.wide_mm / len(some) >= ROOMY_MM
            yield Page(face.date(date), words, is_roomy, some, tuple(self._rows(date, some)))

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

    def _rows(self, date: str, columns: tuple[Column, ...]) -> Iterator[Row]:
        going_on = [each for each in self.tasks if self._goes_on(each, date)]
        for some in self._bands(going_on, columns):
            if any(_held(some, columns)):
                yield self._row("", some, columns, date)
        for hour, items in groupby(self._items(date), key=lambda each: self._hour(each)[:2]):
            for part, some in enumerate(self._bands(list(items), columns)):
                time = self._hour(some[0]) if part else f"{hour}:00"
                yield self._row(time, some, columns, date)

    def _items(self, date: str) -> list[Item]:
        """Return the runs and tasks that begin on a date, in order of time, runs first."""
        runs: list[Item] = [run for run in self.day.runs if run.starts[:10] == date]
        tasks = [task for task in self.tasks if self.clock.date(task.starts) == date]
        return sorted([*runs, *tasks], key=self._minute)

    def _minute(self, item: Item) -> int:
        return item.starts if isinstance(item, Task) else self.clock.minute(item.starts)

    def _hour(self, item: Item) -> str:
        return self.clock.hour(self._minute(item))

    def _goes_on(self, task: Task, date: str) -> bool:
        return self.clock.date(task.starts) < date <= self.clock.date(task.ends)

    def _bands(self, items: Sequence[Item], columns: tuple[Column, ...]) -> list[list[Item]]:
        """Return what begins, in order, parted where the page is full, so that no row is cut."""
        bands: list[list[Item]] = [[]]
        for item in items:
            if self._high_mm([*bands[-1], item], columns) > self.left_mm:
                self.left_mm -= self._high_mm(bands[-1], columns)
                bands += [[]] if bands[-1] else []
                if self._high_mm([item], columns) > self.left_mm:
                    self.left_mm = self.page_mm
            bands[-1].append(item)
        self.left_mm -= self._high_mm(bands[-1], columns)
        return bands

    def _high_mm(self, items: list[Item], columns: tuple[Column, ...]) -> float:
        wide_mm = self.wide_mm / len(columns)
        runs = HOUR_MM + sum(self.lines.run_mm(each) for each in items if isinstance(each, Run))
        held = [
            sum(self.lines.high_mm(task, wide_mm) for task in some)
            for some in _held(items, columns)
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


def _is_in(task: Task, column: Column) -> bool:
    return not task.crew if column.cook is None else column.cook in task.crew


def _shown(day: Day, plan: Plan, sheet: pdf.Sheet) -> dict[str, Any]:
    return {
        "pages": pages(day, plan, sheet),
        "where": "on camera" if day.kind == "broadcast" else "in class",
        "warnings": plan.warnings[:MOST_WARNINGS],
        "more": max(0, len(plan.warnings) - MOST_WARNINGS),
    }


PAPER = Paper("board.html", "Prep board", _shown, is_landscape=True)
draw = PAPER.draw
