"""The prep board: time runs down, a column a person, the now line, ticks in place."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from app.planning.minutes import MINUTE_S
from app.planning.moments import beat_second
from app.web.floor import Floor, floor
from app.web.page import answer
from app.web.rows import MINUTE_MS, Row, rows
from app.web.words import date as date_in_words

router = APIRouter()
NOBODY = "Ovens and waiting"


@dataclass(frozen=True)
class Line:
    """One minute of the board: the runs that start in it, and what each column begins."""

    hour: str
    starts_ms: int
    runs: tuple[str, ...]
    cells: tuple[tuple[Row, ...], ...]


@dataclass(frozen=True)
class Board:
    """One prep day, or all of them one after the other."""

    date: str
    title: str
    columns: tuple[str, ...]
    lines: tuple[Line, ...]
    still: tuple[Row, ...] = ()


@router.get("/productions/{id}/board")
def board(request: Request, id: int, day: str = "") -> HTMLResponse:
    """Show the prep board of a day; `all` shows every prep day."""
    found = floor(request, id)
    if not isinstance(found, Floor):
        return answer(request, "floor/unplanned.html", "floor/_unplanned.html", production=found)
    dates = prep_dates(found)
    chosen = day if day in (*dates, "all") else nearest(dates, found.today)
    shown = dates if chosen == "all" else [chosen]
    work = rows(found)
    return answer(
        request,
        "board/page.html",
        "board/_board.html",
        production=found.production,
        floor=found,
        dates=[(date, date_in_words(date)) for date in dates],
        chosen=chosen,
        boards=[board_of(found, work, date, is_alone=chosen != "all") for date in shown],
    )


def prep_dates(floor: Floor) -> list[str]:
    """Return the dates on which something is to be done or a run starts."""
    found = {floor.clock.date(task.starts) for task in floor.rows}
    found |= {run.starts[:10] for run in floor.day.runs}
    return sorted(found or {floor.day.prep_from[:10]})


def nearest(dates: list[str], today: str) -> str:
    """Return today, else the first date to come, else the last one."""
    return next((date for date in dates if date >= today), dates[-1])


def board_of(floor: Floor, work: list[Row], date: str, *, is_alone: bool) -> Board:
    """Return the board of one date: who works that day, and ovens and waiting beside them.

    A board that stands alone also shows what is still under way from a day before.
    """
    todays = [row for row in work if floor.clock.date(row.task.starts) == date]
    busy = {cook for row in todays for cook in row.task.crew}
    cooks = [cook for cook in floor.day.kitchen.crew if cook.id in busy]
    runs = _runs(floor, date)
    minutes = sorted({row.task.starts for row in todays} | runs.keys())
    lines = [
        Line(
            hour=floor.clock.hour(minute),
            starts_ms=minute * MINUTE_MS,
            runs=tuple(runs.get(minute, ())),
            cells=tuple(_cell(todays, minute, column) for column in (*(c.id for c in cooks), None)),
        )
        for minute in minutes
    ]
    columns = (*(cook.called for cook in cooks), NOBODY)
    still = _still(floor, work, date) if is_alone else ()
    return Board(date, date_in_words(date), columns, tuple(lines), still)


def _still(floor: Floor, work: list[Row], date: str) -> tuple[Row, ...]:
    """Return what began on a day before and ends on this one or later."""
    return tuple(
        row
        for row in work
        if floor.clock.date(row.task.starts) < date <= floor.clock.date(row.task.ends)
    )


def _cell(todays: list[Row], minute: int, cook: str | None) -> tuple[Row, ...]:
    """Return what one column begins at a minute; None is the column of what needs nobody."""
    return tuple(
        row
        for row in todays
        if row.task.starts == minute
        and (cook in row.task.crew if cook is not None else not row.task.crew)
    )


def _runs(floor: Floor, date: str) -> dict[int, list[str]]:
    """Return the runs that start on a date, by their minute."""
    found: dict[int, list[str]] = {}
    for run in floor.day.runs:
        beats = floor.day.beats_of(run)
        first = min((beat_second(floor.day, run, beat.id) for beat in beats), default=None)
        minute = floor.clock.minute(run.starts) if first is None else first // MINUTE_S
        if floor.clock.date(minute) == date:
            found.setdefault(minute, []).append(run.called)
    return found
