"""Prep board: a page a prep day; time down, person across."""

from bisect import bisect
from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby, pairwise
from typing import Any

from app.paper import face, pdf
from app.paper.board_columns import (
    COLUMN_MM,
    LEANINGS,
    Column,
    Item,
    concerns,
    head_mm,
    held_by,
    shared,
    tracked,
    whole_hours,
)
from app.paper.board_notes import bearing, notes_mm, told
from app.paper.board_pages import Page, Row
from app.paper.jobs import Job, jobs
from app.paper.lines import ROOMY_MM, WORDS_MM, Line, Lines, high_mm
from app.paper.paper import Given, Paper
from app.planning.day import Cook, Day, Run
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import tasks

TIME_MM = 32
EDGES_MM = 20
# What stands above and below the rows: edges, the date.
HEADS_MM = 48
LACKS_MM = 12
# Above and below what stands in a row, and the room to write below it.
ROW_MM, WRITE_MM = 2.5, 5.0
# How much lower a row stands than is reckoned, so that no page overflows.
SPARE_MM = 3.4
HOUR_MM, UNTIL_MM = 12, 7.0
NOBODY = "Ovens and waiting"
LONGEST_NAME = 40
Band = tuple[str, list[Item]]


def pages(day: Day, plan: Plan, sheet: pdf.Sheet) -> list[Page]:
    """Return the pages of a plan, day by day, for sheets that lie on their long side."""
    board = _Board(day, plan, sheet)
    return [page for date in board.dates() for page in board.of(date)]


class _Board:
    """Reads the pages of one plan; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan, sheet: pdf.Sheet) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.lines = Lines(day, plan)
        self.jobs = jobs(tasks(day, plan))
        self.wide_mm = sheet.high_mm - EDGES_MM - TIME_MM
        self.page_mm = sheet.wide_mm - HEADS_MM
        lacks = min(len(plan.unmet), face.MOST_LACKS + 1)
        self.taken_mm = LACKS_MM + WORDS_MM * lacks if lacks else 0.0

    def dates(self) -> list[str]:
        """Return the dates on which something is to be done or to be shown."""
        found = {self.clock.date(job.starts) for job in self.jobs}
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
        items, before = [each for each in self._items(date) if concerns(each, columns)], ""
        while items or not before:
            most = self._count(items, columns, date)
            count = whole_hours([self._band_hour(each, date) for each in items], most)
            across = self._across(items[:count], columns, date)
            bands = self._bands(items[:count], across, date)
            rows = tuple(self._rows(bands, items[count:], across, date, before))
            busy = {None, *(each.cook for each in across)}
            idle = tuple(each.name for each in columns if each.cook not in busy)
            pairs = zip(bands, rows, strict=True)
            highs = [self._high_mm(band, across, date, bool(row.until)) for band, row in pairs]
            room_mm = self._left_mm(across) - sum(highs) + SPARE_MM * len(rows)
            yield Page(face.date(date), words, across, idle, rows, room_mm)
            before = self._hour(items[count - 1])[:2] if items else "none"
            items, self.taken_mm = items[count:], 0.0

    def _count(self, items: list[Item], columns: tuple[Column, ...], date: str) -> int:
        """Return how many of the items fit on a page, one at the least."""
        most = 1
        while most < len(items) and self._fits(items[: most * 2], columns, date):
            most *= 2
        more = range(most + 1, min(most * 2, len(items)) + 1)
        fits = bisect(more, False, key=lambda n: not self._fits(items[:n], columns, date))
        return min(most + fits, len(items))

    def _fits(self, items: list[Item], columns: tuple[Column, ...], date: str) -> bool:
        """Return whether items fit on a page if they stand as close as they can."""
        across = self._across(items, columns, date)
        return self._high_mm(("", items), across, date) <= self._left_mm(across)

    def _left_mm(self, across: tuple[Column, ...]) -> float:
        return self.page_mm - self.taken_mm - max(head_mm(each) for each in across)

    def _across(
        self, items: list[Item], columns: tuple[Column, ...], date: str
    ) -> tuple[Column, ...]:
        """Return the columns that have work, in widths in which it has room."""
        busy = [each for each in columns if held_by(items, (each,))[0]] or [*columns]
        work = [
            1 + self._cell_mm(some, replace(column, wide_mm=ROOMY_MM), date)
            for column, some in zip(busy, held_by(items, tuple(busy)), strict=True)
        ]
        ways = [shared(busy, work, leaning, self.wide_mm) for leaning in LEANINGS]
        ways += [tuple(self._laid(each, items, date) for each in across) for across in ways]
        # Where there is room, in one track, and as even as can be.
        over_mm = [
            max(0.0, self._high_mm(("", items), across, date) - self._left_mm(across))
            for across in ways
        ]
        return ways[over_mm.index(min(over_mm))]

    def _laid(self, column: Column, items: list[Item], date: str) -> Column:
        """Return a column with as many tracks as its rows stand lowest in."""
        some = held_by(items, (column,))[0]
        ways = [replace(column, tracks=each) for each in range(1, column.most_tracks + 1)]
        return min(ways, key=lambda way: self._cell_mm(some, way, date))

    def _bands(self, items: list[Item], across: tuple[Column, ...], date: str) -> list[Band]:
        """Return hours, those joined that would otherwise ask for more height than there is."""
        bands = list(self._hours_of(items, date))
        highs = [self._high_mm(each, across, date) for each in bands]
        while len(bands) > 1 and sum(highs) > self._left_mm(across):
            joined = [(hour, [*some, *more]) for (hour, some), (_, more) in pairwise(bands)]
            joined_mm = [self._high_mm(each, across, date) for each in joined]
            gains = [a + b - c for a, b, c in zip(highs, highs[1:], joined_mm, strict=False)]
            at = gains.index(max(gains))
            bands[at : at + 2], highs[at : at + 2] = [joined[at]], [joined_mm[at]]
        return bands

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
        ids = frozenset(cook.id for cook in here)
        nobody = Column(None, NOBODY, ("nobody’s hands",), others=ids)
        is_wanted = any(isinstance(each, Job) and nobody.holds(each) for each in self._items(date))
        return [*people, nobody] if is_wanted or not people else people

    def _is_here(self, cook: Cook, date: str) -> bool:
        return any(True for _ in self._hours(cook, date)) or any(
            cook.id in job.task.crew and self.clock.date(job.starts) == date for job in self.jobs
        )

    def _hours(self, cook: Cook, date: str) -> Iterator[str]:
        for begins, ends in cook.shifts:
            if begins[:10] <= date <= ends[:10]:
                since = face.hour(begins) if begins[:10] == date else "00:00"
                yield f"{since}–{face.hour(ends) if ends[:10] == date else '24:00'}"

    def _rows(
        self,
        bands: list[Band],
        left: list[Item],
        columns: tuple[Column, ...],
        date: str,
        before: str,
    ) -> Iterator[Row]:
        """Yield a row a part; one that began on the page `before` says from when it goes on."""
        for at, (hour, some) in enumerate(bands):
            time = self._hour(some[0]) if hour == before else f"{hour}:00"
            ends = bands[at + 1][0] if at + 1 < len(bands) else ""
            last = self._hour(some[-1])[:2]
            until = f"{ends}:00" if ends else self._hour(left[0]) if left else ""
            is_long = last != hour and bool(until)
            yield self._row(time if hour else "", until if is_long else "", some, columns, date)

    def _hours_of(self, items: list[Item], date: str) -> Iterator[Band]:
        """Yield hours and what begins in them; none for what still goes on from the day before."""
        for each, some in groupby(items, key=lambda item: self._band_hour(item, date)):
            yield each, list(some)

    def _band_hour(self, item: Item, date: str) -> str:
        is_older = self.clock.date(self._minute(item)) < date
        return "" if is_older else self._hour(item)[:2]

    def _items(self, date: str) -> list[Item]:
        """Return what goes on from before, then runs and jobs that begin, in order of time."""
        runs: list[Item] = [run for run in self.day.runs if run.starts[:10] == date]
        here = [job for job in self.jobs if self._is_on(job, date)]
        read = [replace(job, readers=self._readers(job, date)) for job in here]
        return sorted([*runs, *read], key=self._minute)

    def _readers(self, job: Job, date: str) -> tuple[str, ...]:
        """Return who reads it; nobody what holds no hands and begins when who is near is away."""
        at = self.clock.text(job.starts)
        if job.task.crew or at[:10] < date:
            return job.task.crew
        shifts = {cook.id: cook.shifts for cook in self.day.kitchen.crew}
        return tuple(
            cook
            for cook in job.task.near[:1]
            if any(begins <= at < ends for begins, ends in shifts.get(cook, ()))
        )

    def _minute(self, item: Item) -> int:
        return item.starts if isinstance(item, Job) else self.clock.minute(item.starts)

    def _hour(self, item: Item) -> str:
        return self.clock.hour(self._minute(item))

    def _is_on(self, job: Job, date: str) -> bool:
        starts = self.clock.date(job.starts)
        return starts == date or starts < date <= self.clock.date(job.ends)

    def _cell_mm(self, some: list[Job], column: Column, date: str) -> float:
        tracks = self._tracks(some, column, date)
        return max(sum(high_mm(line, column.track_mm) for line in track) for track in tracks)

    def _tracks(self, some: list[Job], column: Column, date: str) -> list[tuple[Line, ...]]:
        """Return the rows of a cell, track by track."""
        if column.tracks == 1:
            return [tuple(self.lines.cell(some, date, column.cook))]
        whole = [high_mm(self.lines.of(job, date, column.cook), column.track_mm) for job in some]
        counts, at = tracked(whole, column.tracks), 0
        found = []
        for count in counts:
            found.append(tuple(self.lines.cell(some[at : at + count], date, column.cook)))
            at += count
        return found

    def _high_mm(
        self, band: Band, columns: tuple[Column, ...], date: str, has_until: bool = True
    ) -> float:
        runs = HOUR_MM + sum(self.lines.run_mm(each) for each in band[1] if isinstance(each, Run))
        held = [
            self._cell_mm(some, column, date)
            for some, column in zip(held_by(band[1], columns), columns, strict=True)
        ]
        return ROW_MM + max(runs + (UNTIL_MM if has_until else 0), WRITE_MM + max(held))

    def _row(
        self, time: str, until: str, items: list[Item], columns: tuple[Column, ...], date: str
    ) -> Row:
        runs = [each for each in items if isinstance(each, Run)]
        cells = zip(held_by(items, columns), columns, strict=True)
        return Row(
            time=time,
            until=until,
            runs=tuple((face.hour(run.starts), self.lines.run(run)) for run in runs),
            cells=tuple(tuple(self._tracks(held, column, date)) for held, column in cells),
        )


def _shown(day: Day, plan: Plan, given: Given) -> dict[str, Any]:
    found, warnings = pages(day, plan, given.sheet), told(plan)
    high_mm = notes_mm(warnings, given.sheet.high_mm - EDGES_MM)
    return {
        "pages": found,
        "where": "on camera" if day.kind == "broadcast" else "in class",
        "warnings": warnings,
        "bearing": bearing([page.room_mm for page in found], high_mm),
    }


PAPER = Paper("board.html", "Prep board", _shown, is_landscape=True)
draw = PAPER.draw
