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
    evened,
    head_mm,
    held_by,
    shared,
    tracked,
    whole_hours,
)
from app.paper.board_dates import Dates
from app.paper.board_notes import bearing, notes_mm, told
from app.paper.board_pages import Page, Row, idle_mm
from app.paper.jobs import Job
from app.paper.lines import ROOMY_MM, Line, Lines, high_mm
from app.paper.paper import Given, Paper
from app.paper.setting import CLOSE, ROOMY, SNUG, Setting
from app.planning.day import Day, Run
from app.planning.plan import Plan

EDGES_MM = 20
# Of what lacks its heads, and the date, which then stands below it.
LACKS_MM = 20
# Above and below what stands in a row, and the room to write below it.
ROW_MM, WRITE_MM = 2.0, 5.0
UNTIL_MM = 7.0
Band = tuple[str, list[Item]]


def pages(
    day: Day, plan: Plan, sheet: pdf.Sheet, below_mm: float = 0.0, in_fahrenheit: bool = False
) -> list[Page]:
    """Return the pages of a plan, day by day, for sheets that lie on their long side.

    A day that then takes fewer of them is set close; one that then goes on a single page, snug. If
    the last page has room for it, so much is left below its rows.
    """
    dates, found = Dates(day, plan, in_fahrenheit), list[Page]()
    board = _Board(dates, Lines(day, plan), sheet, below_mm)
    for date in board.dates.all():
        lacks = 0 if found else min(len(plan.unmet), face.MOST_LACKS + 1)
        taken_mm = LACKS_MM + ROOMY.words_mm * lacks if lacks else 0.0
        some = board.of(date, ROOMY, taken_mm)
        if len(some) > 1:
            some = min(some, board.of(date, CLOSE, taken_mm), key=len)
        if len(some) == 2:
            some = min(some, board.of(date, SNUG, taken_mm), key=len)
        found += some
    return found


class _Board:
    """Reads the pages of one plan; the lookups are made once."""

    def __init__(self, dates: Dates, lines: Lines, sheet: pdf.Sheet, below_mm: float) -> None:
        self.dates, self.lines = dates, lines
        self.sheet, self.below_mm = sheet, below_mm

    def of(self, date: str, setting: Setting, taken_mm: float) -> list[Page]:
        """Return the pages of one date, of the first of which something is taken."""
        self.setting, self.taken_mm = setting, taken_mm
        self.wide_mm = self.sheet.high_mm - EDGES_MM - setting.time_mm
        self.page_mm = self.sheet.wide_mm - setting.heads_mm
        return list(self._pages(date))

    def _pages(self, date: str) -> Iterator[Page]:
        """Yield the pages of one date: as many people as fit across, then the others."""
        columns = self.dates.columns(date)
        parts = -(-len(columns) // int(self.wide_mm // COLUMN_MM))
        each = -(-len(columns) // parts)
        for part in range(parts):
            some = tuple(columns[part * each : (part + 1) * each])
            words = f"people {part + 1} of {parts}" if parts > 1 else ""
            yield from self._part(date, some, words)

    def _part(self, date: str, columns: tuple[Column, ...], words: str) -> Iterator[Page]:
        """Yield pages, each with as much as fits and as wide as that asks for."""
        self.columns = columns
        items, before = [each for each in self.dates.items(date) if concerns(each, columns)], ""
        while items or not before:
            most = self._count(items, columns, date)
            count = whole_hours([self.dates.band_hour(each, date) for each in items], most)
            across = self._across(items[:count], columns, date)
            bands = self._bands(items[:count], across, date)
            rows = tuple(self._rows(bands, items[count:], across, date, before))
            idle = self._idle(across)
            pairs = zip(bands, rows, strict=True)
            highs = [self._high_mm(band, across, date, bool(row.until)) for band, row in pairs]
            room_mm = self._left_mm(across) - sum(highs) + self.setting.spare_mm * len(rows)
            yield Page(face.date(date), words, across, idle, rows, room_mm, self.setting)
            before = self.dates.hour(items[count - 1])[:2] if items else "none"
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
        heads_mm = max(head_mm(each, self.setting) for each in across)
        whole_mm = self.sheet.high_mm - EDGES_MM
        heads_mm += idle_mm(self._idle(across), whole_mm, self.setting)
        return self.page_mm - self.taken_mm - heads_mm

    def _idle(self, across: tuple[Column, ...]) -> tuple[str, ...]:
        """Return who has nothing to do on a page."""
        busy = {None, *(each.cook for each in across)}
        return tuple(each.name for each in self.columns if each.cook not in busy)

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
        over_mm = [self._over_mm(items, across, date) for across in ways]
        if min(over_mm) > 0:
            ways.append(self._evened(busy, items, date))
            over_mm.append(self._over_mm(items, ways[-1], date))
        return ways[over_mm.index(min(over_mm))]

    def _over_mm(self, items: list[Item], across: tuple[Column, ...], date: str) -> float:
        return max(0.0, self._high_mm(("", items), across, date) - self._left_mm(across))

    def _evened(self, busy: list[Column], items: list[Item], date: str) -> tuple[Column, ...]:
        """Return columns in widths in which the highest of them stands as low as it may."""
        held = held_by(items, tuple(busy))

        def stands(at: int, wide_mm: float) -> float:
            column = self._laid(replace(busy[at], wide_mm=wide_mm), items, date)
            return self._cell_mm(held[at], column, date)

        wides = evened(len(busy), self.wide_mm, stands)
        return tuple(
            self._laid(replace(column, wide_mm=wide_mm), items, date)
            for column, wide_mm in zip(busy, wides, strict=True)
        )

    def _laid(self, column: Column, items: list[Item], date: str) -> Column:
        """Return a column with as many tracks as its rows stand lowest in."""
        some = held_by(items, (column,))[0]
        ways = [replace(column, tracks=each) for each in range(1, column.most_tracks + 1)]
        return min(ways, key=lambda way: self._cell_mm(some, way, date))

    def _bands(self, items: list[Item], across: tuple[Column, ...], date: str) -> list[Band]:
        """Return hours, those joined that would otherwise ask for more height than there is."""
        left_mm = self._left_mm(across)
        if left_mm - self._high_mm(("", items), across, date) > self.below_mm:
            left_mm -= self.below_mm
        bands = list(self._hours_of(items, date))
        highs = [self._high_mm(each, across, date) for each in bands]
        while len(bands) > 1 and sum(highs) > left_mm:
            joined = [(hour, [*some, *more]) for (hour, some), (_, more) in pairwise(bands)]
            joined_mm = [self._high_mm(each, across, date) for each in joined]
            gains = [a + b - c for a, b, c in zip(highs, highs[1:], joined_mm, strict=False)]
            at = gains.index(max(gains))
            bands[at : at + 2], highs[at : at + 2] = [joined[at]], [joined_mm[at]]
        return bands

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
            time = self.dates.hour(some[0]) if hour == before else f"{hour}:00"
            ends = bands[at + 1][0] if at + 1 < len(bands) else ""
            last = self.dates.hour(some[-1])[:2]
            until = f"{ends}:00" if ends else self.dates.hour(left[0]) if left else ""
            is_long = last != hour and bool(until)
            yield self._row(time if hour else "", until if is_long else "", some, columns, date)

    def _hours_of(self, items: list[Item], date: str) -> Iterator[Band]:
        """Yield hours and what begins in them; none for what still goes on from the day before."""
        for each, some in groupby(items, key=lambda item: self.dates.band_hour(item, date)):
            yield each, list(some)

    def _cell_mm(self, some: list[Job], column: Column, date: str) -> float:
        tracks = self._tracks(some, column, date)
        return max(
            sum(high_mm(line, column.track_mm, self.setting) for line in track) for track in tracks
        )

    def _tracks(self, some: list[Job], column: Column, date: str) -> list[tuple[Line, ...]]:
        """Return the rows of a cell, track by track."""
        if column.tracks == 1:
            return [tuple(self.lines.cell(some, date, column.cook))]
        lines = [self.lines.of(job, date, column.cook) for job in some]
        whole = [high_mm(line, column.track_mm, self.setting) for line in lines]
        counts, at = tracked(whole, column.tracks), 0
        found = []
        for count in counts:
            found.append(tuple(self.lines.cell(some[at : at + count], date, column.cook)))
            at += count
        return found

    def _high_mm(
        self, band: Band, columns: tuple[Column, ...], date: str, has_until: bool = True
    ) -> float:
        runs = self.setting.hour_mm + sum(
            self.lines.run_mm(each, self.setting) for each in band[1] if isinstance(each, Run)
        )
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
    warnings = told(plan)
    high_mm = notes_mm(warnings, given.sheet.high_mm - EDGES_MM)
    found = pages(day, plan, given.sheet, high_mm, given.house.in_fahrenheit)
    return {
        "pages": found,
        "where": "on camera" if day.kind == "broadcast" else "in class",
        "warnings": warnings,
        "bearing": bearing([page.room_mm for page in found], high_mm),
    }


PAPER = Paper("board.html", "Prep board", _shown, is_landscape=True)
draw = PAPER.draw
