"""Prep board: a page a prep day; time down, person across."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.paper import face, pdf
from app.paper.lines import Line, Lines
from app.planning.day import Cook, Day
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import Task

TIME_MM = 32
EDGES_MM = 20
COLUMN_MM = 45
ROOMY_MM = 68
HEADS_MM = 66
ROW_MM = 3
HOUR_MIN = 60
NOBODY = "Ovens and waiting"
MOST_WARNINGS = 12
LONGEST_NAME = 40


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


def draw(day: Day, plan: Plan, printed_at: str, size: str) -> bytes:
    """Return the prep board as PDF.

    Parameters
    ----------
    printed_at
        Local text of the minute in which it is printed.
    size
        A4, A3, Letter or Tabloid; the sheet lies on its long side.

    Raises
    ------
    UnknownSize, NoPaper
        If there is no such sheet, or this machine can't draw.
    """
    sheet = pdf.sheet(size)
    html = face.page(
        "board.html",
        face=face.face(day, plan, "Prep board", printed_at),
        pages=pages(day, plan, sheet),
        warnings=plan.warnings[:MOST_WARNINGS],
        more=max(0, len(plan.warnings) - MOST_WARNINGS),
    )
    return pdf.to_pdf(html, sheet.high_mm, sheet.wide_mm)


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
            if any(held := self._held(some, columns)):
                yield Row("", (), tuple(self._cells(held, columns, date)))
        today = [task for task in self.tasks if self.clock.date(task.starts) == date]
        runs = {run.starts[11:13]: "" for run in self.day.runs if run.starts[:10] == date}
        hours = {self.clock.hour(task.starts)[:2] for task in today} | set(runs)
        for hour in sorted(hours):
            yield from self._hour(date, hour, today, columns)

    def _hour(
        self, date: str, hour: str, today: list[Task], columns: tuple[Column, ...]
    ) -> Iterator[Row]:
        """Yield the rows of one hour: as many as it takes for none to outgrow its share."""
        now = [task for task in today if self.clock.hour(task.starts)[:2] == hour]
        runs = tuple(
            (face.hour(run.starts), self.lines.run(run))
            for run in sorted(self.day.runs, key=lambda each: each.starts)
            if run.starts[:13] == f"{date}T{hour}"
        )
        for part, some in enumerate(self._bands(now, columns)):
            time = self.clock.hour(some[0].starts) if part else f"{hour}:00"
            held = self._held(some, columns)
            yield Row(time, () if part else runs, tuple(self._cells(held, columns, date)))

    def _goes_on(self, task: Task, date: str) -> bool:
        return self.clock.date(task.starts) < date <= self.clock.date(task.ends)

    def _bands(self, tasks: list[Task], columns: tuple[Column, ...]) -> list[list[Task]]:
        """Return tasks in time order, parted where the page is full, so that no row is cut."""
        bands: list[list[Task]] = [[]]
        for task in tasks:
            if self._high_mm([*bands[-1], task], columns) > self.left_mm:
                self.left_mm -= self._high_mm(bands[-1], columns)
                bands += [[]] if bands[-1] else []
                if self._high_mm([task], columns) > self.left_mm:
                    self.left_mm = self.page_mm
            bands[-1].append(task)
        self.left_mm -= self._high_mm(bands[-1], columns)
        return bands

    def _high_mm(self, tasks: list[Task], columns: tuple[Column, ...]) -> float:
        wide_mm = self.wide_mm / len(columns)
        return ROW_MM + max(
            sum(self.lines.high_mm(task, wide_mm) for task in held)
            for held in self._held(tasks, columns)
        )

    def _held(self, tasks: list[Task], columns: tuple[Column, ...]) -> list[list[Task]]:
        return [[task for task in tasks if _is_in(task, column)] for column in columns]

    def _cells(
        self, held: list[list[Task]], columns: tuple[Column, ...], date: str
    ) -> Iterator[tuple[Line, ...]]:
        for tasks, column in zip(held, columns, strict=True):
            yield tuple(self.lines.of(task, date, column.cook) for task in tasks)


def _is_in(task: Task, column: Column) -> bool:
    return not task.crew if column.cook is None else column.cook in task.crew
