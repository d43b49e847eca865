"""My list: the next things for one person, each row a button."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from app.planning.day import Cook
from app.web.floor import Floor, floor
from app.web.page import answer
from app.web.rows import Row, rows
from app.web.words import date as date_in_words

router = APIRouter()


@dataclass(frozen=True)
class Stretch:
    """The rows of one date."""

    date: str
    title: str
    rows: tuple[Row, ...]


@router.get("/productions/{id}/list")
def mylist(request: Request, id: int, cook: str = "") -> HTMLResponse:
    """Show what one person has to do; whoever holds a joined phone is known already."""
    found = floor(request, id)
    if not isinstance(found, Floor):
        return answer(request, "floor/unplanned.html", "floor/_unplanned.html", production=found)
    crew = found.day.kitchen.crew
    chosen = whose(crew, cook, request.state.person)
    mine = [row for row in rows(found) if chosen and is_for(row, chosen)]
    done, past = [row for row in mine if row.shown == "done"], _past(found, mine)
    return answer(
        request,
        "mylist/page.html",
        "mylist/_list.html",
        production=found.production,
        floor=found,
        crew=crew,
        chosen=chosen,
        person=request.state.person,
        done=done,
        past=past,
        stretches=by_date(found, [row for row in mine if row not in done + past]),
    )


def whose(crew: Sequence[Cook], asked: str, person: str) -> Cook | None:
    """Return whose list is shown: who was asked for, else who holds the phone."""
    for cook in crew:
        if cook.id == asked:
            return cook
    return next((cook for cook in crew if not asked and cook.called == person), None)


def is_for(row: Row, cook: Cook) -> bool:
    """Return whether a row is a person's: theirs, or nobody's with them nearest to it.

    Of what needs nobody, only what has to be ticked or lit is anybody's work.
    """
    if row.task.crew:
        return cook.id in row.task.crew
    return cook.id in row.task.near and (row.task.kind == "heat" or bool(row.part))


def _past(floor: Floor, mine: list[Row]) -> list[Row]:
    """Return the reminders whose time is over: nobody ticks an oven that was lit."""
    return [row for row in mine if row.task.kind == "heat" and row.task.ends <= floor.now]


def by_date(floor: Floor, mine: list[Row]) -> list[Stretch]:
    """Return rows by their date."""
    dates = sorted({floor.clock.date(row.task.starts) for row in mine})
    return [
        Stretch(
            date,
            date_in_words(date),
            tuple(row for row in mine if floor.clock.date(row.task.starts) == date),
        )
        for date in dates
    ]
