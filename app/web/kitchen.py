"""The kitchen, to read: equipment, crew with their shifts, shelves drawn from the front."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Cook, Day, Shelf
from app.web.letters import Letter, letters
from app.web.page import answer
from app.web.seen import see

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


@dataclass(frozen=True)
class OnShift:
    """Who works on one day, from when to when."""

    date: str
    shifts: tuple[tuple[Cook, str, str], ...]


@dataclass(frozen=True)
class Stocked:
    """Copies that exist before the prep starts, in words."""

    count: int
    letter: Letter
    stage: str
    since: str


@router.get("")
def kitchen(request: Request, id: int) -> Response:
    """Show the kitchen of a production."""
    seen = see(id)
    return answer(
        request,
        "kitchen/page.html",
        "kitchen/_part.html",
        seen=seen,
        production=seen.production,
        kitchen=seen.day.kitchen,
        stock=_stock(seen.day),
        units=[_unit(each) for each in seen.day.kitchen.shelves],
        days=_days(seen.day.kitchen.crew),
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


def _days(crew: tuple[Cook, ...]) -> list[OnShift]:
    found: dict[str, list[tuple[Cook, str, str]]] = {}
    for cook in crew:
        for start, end in cook.shifts:
            found.setdefault(start[:10], []).append((cook, start, end))
    return [
        OnShift(date, tuple(sorted(shifts, key=lambda each: (each[1], each[0].called))))
        for date, shifts in sorted(found.items())
    ]


def _stock(day: Day) -> list[Stocked]:
    known = letters(day)
    return [
        Stocked(
            each.count,
            known[each.demonstration],
            day.stage(each.demonstration, each.stage).called,
            each.staged,
        )
        for each in day.stock
    ]
