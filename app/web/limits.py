"""Limits: the law that the house works by, and its own copy of that law's figures."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.food import allergens, limits
from app.food.limits import NAMES, Row
from app.storage.changes.goods import choose
from app.storage.engine import reading, writing
from app.storage.queries.goods import choices
from app.storage.queries.safety import (
    ALLERGENS,
    CHILL_AIR,
    FAHRENHEIT,
    LAW,
    OWN,
    PART_COOKING,
    ROOM,
    SET_ASIDE,
    TIME_CONTROL,
    YES,
    house_of,
)
from app.web.forms import Form, Typed, new_once
from app.web.page import answer, go_to
from app.web.seen import who

router = APIRouter(prefix="/limits")
PAGE, PART = "limits/page.html", "limits/_part.html"
BOUNDS = {"°C": (-60.0, 300.0), "min": (1.0, 10_080.0), "days": (1.0, 60.0)}
# What a form has: its fields, and under which key each is kept.
AIR = {"room_c": ROOM, "chill_air_c": CHILL_AIR}
SWITCHES = {
    "part_cooking": PART_COOKING,
    "time_control": TIME_CONTROL,
    "fahrenheit": FAHRENHEIT,
}
FIELDS = {"law": LAW, "allergens": ALLERGENS, **AIR, **SWITCHES, **OWN}


@dataclass(frozen=True)
class Line:
    """One limit: what the law says, and what the house has put in its place."""

    row: Row
    is_of_law: bool
    own: str


@router.get("")
def look(request: Request) -> Response:
    """Show the limits."""
    return _show(request)


@router.post("")
def change(request: Request, form: Form) -> Response:
    """Keep what the house has changed; what nobody touched stays as others made it."""
    typed = _read(form)
    if form.faults:
        return _show(request, 422, form)
    began = _began(form)
    touched = {field: value for field, value in typed.items() if value != began.get(field, "")}
    with writing() as conn:
        stored = _kept(choices(conn))
        others = {
            field
            for field, value in touched.items()
            if stored[field] not in (began.get(field, ""), value)
        }
        changed = {FIELDS[field]: value for field, value in touched.items()}
        if touched and not others:
            choose(conn, changed, by=who(request), once=form.once)
    for field in others:
        theirs = stored[field] or "the law's"
        form.faults[field] = f"Somebody made this {theirs} while you typed. Send again for yours."
    if others:
        return _show(request, 409, form)
    return go_to(request, "/limits")


def _read(form: Typed) -> dict[str, str]:
    """Return what was typed as it is kept: numbers plain, a law's own figure as nothing."""
    typed = {
        "law": form.choice("law", limits.LAWS),
        "allergens": form.choice("allergens", allergens.LAWS),
    }
    for field in AIR:
        typed[field] = _number(form, field, "°C")
    for field in SWITCHES:
        typed[field] = YES if form.values.get(field) else ""
    for name, row in _rows(typed["law"]).items():
        typed[name] = _number(form, name, row.unit)
    return typed


def _number(form: Typed, field: str, unit: str) -> str:
    text = form.text(field, most=20).replace(",", ".").replace("−", "-")
    if not text or text == SET_ASIDE:
        return text
    least, most = BOUNDS[unit]
    number = _degrees(text) if unit == "°C" else _plain(text)
    if least <= number <= most:
        return f"{number:g}"
    form.faults[field] = f"A number from {least:g} to {most:g} {unit}, “{SET_ASIDE}”, or nothing."
    return text


def _degrees(text: str) -> float:
    """Return the °C of *4.5*, *4.5 °C*, *40 °F*, to a tenth as thermometers show it."""
    scale = text[-1:].upper()
    if scale not in {"C", "F"}:
        return _plain(text)
    number = _plain(text[:-1].rstrip(" °"))
    return round((number - 32) / 1.8, 1) if scale == "F" else number


def _plain(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return float("nan")


def _rows(law: str) -> dict[str, Row]:
    """Return a row for every limit that there is: the law's own, else another law's words."""
    found: dict[str, Row] = {}
    for id in (law, *limits.LAWS):
        for row in limits.law(id).rows:
            found.setdefault(row.limit, row)
    return {name: found[name] for name in NAMES if name in found}


def _show(request: Request, status: int = 200, typed: Typed | None = None) -> Response:
    with reading() as conn:
        stored = choices(conn)
    house, kept = house_of(stored), _kept(stored)
    shown = kept | (typed.values if typed else {})
    if typed:
        shown |= {field: typed.values.get(field, "") for field in SWITCHES}
    law = limits.law(shown["law"] if shown["law"] in limits.LAWS else house.limits.law)
    of_law = {row.limit for row in law.rows}
    values: dict[str, Any] = {
        "house": house,
        "law": law,
        "laws": [limits.law(id) for id in limits.LAWS],
        "allergen_laws": [allergens.law(id) for id in allergens.LAWS],
        "lines": [
            Line(row, name in of_law, shown.get(name, "")) for name, row in _rows(law.id).items()
        ],
        "shown": shown,
        "began": json.dumps(kept if typed is None or status == 409 else _began(typed)),
        "set_aside": SET_ASIDE,
        "faults": typed.faults if typed else {},
        "once": new_once(),
    }
    return answer(request, PAGE, PART, status, **values)


def _kept(stored: Mapping[str, str]) -> dict[str, str]:
    """Return what the form shows of the house's choices, by field."""
    house = house_of(stored)
    kept = {field: stored.get(key, "") for field, key in FIELDS.items()}
    return kept | {"law": house.limits.law, "allergens": house.allergen_law}


def _began(typed: Typed) -> dict[str, str]:
    """Return what the form showed at first."""
    try:
        told = json.loads(typed.values.get("began", ""))
    except (ValueError, RecursionError):
        told = {}
    is_read = isinstance(told, dict)
    return {field: str(told.get(field, "")) for field in FIELDS} if is_read else {}
