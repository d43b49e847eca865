"""The kitchen, edited: equipment, crew with shifts, shelves drawn from the front, stock."""

from dataclasses import dataclass
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Shelf
from app.storage.changes.undo import steps
from app.storage.engine import reading
from app.storage.queries.kitchens import sharing_kitchen
from app.storage.queries.sheets import sheet
from app.web.carried import left_over
from app.web.cells import Editor
from app.web.drafts import asked
from app.web.faults import faults
from app.web.fields.kitchens import days_of, free_days
from app.web.forms import new_once
from app.web.page import answer
from app.web.seen import see, who

router = APIRouter(prefix="/productions/{id}/kitchen")
SLOT_W, SLOT_H, GAP = 30, 24, 4


@dataclass(frozen=True)
class Slot:
    """One place on a shelf, in the units of the picture."""

    x: int
    y: int


@dataclass(frozen=True)
class Unit:
    """A shelf unit drawn from the front."""

    shelf: Shelf
    width: int
    height: int
    boards: tuple[int, ...]
    slots: tuple[Slot, ...]
    total: int


@router.get("")
def kitchen(request: Request, id: int) -> Response:
    """Show the kitchen of a production, each field of it to be filled in."""
    return _show(request, id, "kitchen/_part.html")


@router.get("/beside")
def beside(request: Request, id: int) -> Response:
    """Show what follows from the fields: what is wrong."""
    return _show(request, id, "kitchen/_beside.html")


def _show(request: Request, id: int, part: str) -> Response:
    seen = see(id)
    with reading() as conn:
        rows, known = sheet(conn, id), steps(conn, id, who(request))
        others = list(sharing_kitchen(conn, id).values())
        left = left_over(conn, id, rows)
    found, told = faults(seen.day, rows)
    units = {each.id: _unit(each) for each in seen.day.kitchen.shelves}
    return answer(
        request,
        "kitchen/page.html",
        part,
        seen=seen,
        production=seen.production,
        edit=Editor(rows, found),
        sheet=rows,
        steps=known,
        told=told,
        asked=asked(request, seen),
        units=units,
        free_days=partial(free_days, days_of(rows)),
        others=others,
        left=left,
        once=new_once(),
    )


def _unit(shelf: Shelf) -> Unit:
    widest = max(shelf.levels, default=1)
    step = SLOT_H + 2 * GAP + 3
    slots = [
        Slot(GAP * 2 + slot * (SLOT_W + GAP), level * step + GAP * 2)
        for level, count in enumerate(shelf.levels)
        for slot in range(count)
    ]
    return Unit(
        shelf=shelf,
        width=widest * (SLOT_W + GAP) + GAP * 3,
        height=len(shelf.levels) * step + GAP,
        boards=tuple((level + 1) * step for level in range(len(shelf.levels))),
        slots=tuple(slots),
        total=sum(shelf.levels),
    )
