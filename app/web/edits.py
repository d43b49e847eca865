"""Fields filled in, rows added, moved and deleted, each saved as it is made; undo and redo.

One set of addresses serves every editor: a place and a field say what is meant, `fields/` how it is
typed. The answers are for `static/edits.js`, which keeps what was typed until it is saved.
"""

import re
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response
from sqlalchemy import Connection

from app.storage.changes.applying import typed_at
from app.storage.changes.fields import Filled, fill_in
from app.storage.changes.record import Change
from app.storage.changes.structure import Added, add_part, delete_part, duplicate_part, move_part
from app.storage.changes.undo import REACH, Steps, make_again, steps, take_back
from app.storage.engine import reading, writing
from app.storage.parts import TABLES, Place, part, row_at, siblings
from app.storage.queries.history import changes_since
from app.storage.queries.kitchens import changed_elsewhere, kitchen_mark
from app.storage.queries.sheets import sheet
from app.storage.refusals import Conflict
from app.web.after_edits import after_edits_of
from app.web.cells import began_from, called, read, shown
from app.web.desk import desk_of
from app.web.drafts import mark_of
from app.web.errors import Told
from app.web.fields import made_of, value_in
from app.web.fields.lines import not_understood
from app.web.forms import Form
from app.web.moments import Moment
from app.web.seen import who
from app.web.sent import Sent, sent_field, sent_place, sent_row
from app.web.typed import NotUnderstood, Reader
from app.web.words import date

router = APIRouter(prefix="/productions/{id}/edit")
BACK, AGAIN = "back", "again"
MOST_TOLD = 80


@router.post("/fill")
def fill(request: Request, id: int, form: Form) -> Response:
    """Save one field; what is not understood is kept beside it."""
    sent = sent_field(form)
    with writing() as conn:
        row = part(conn, id, sent.place)
        known = sheet(conn, id) if sent.field.depends else None
        reader = sent.field.reads(known, row) if known else sent.field.reader
        values, typed, _ = read(reader, sent.name, sent.field, sent.text)
        was = shown(reader, value_in(sent.name, sent.field, row), sent.began_typed)[0]
        words = f"changed {_called(conn, sent.place)}: {sent.field.label}"
        words += f" from {_told(reader, was)} to {_told(reader, sent.text)}"
        values |= sent.field.along(row, values)
        began = sent.began, sent.began_typed
        filled = Filled(sent.place, sent.name, values, typed, *began)
        try:
            change = fill_in(conn, id, filled, words=words, by=who(request), once=form.once)
        except Conflict as clash:
            said = {"error": clash.words, "by": clash.by, "yours": sent.text}
            return JSONResponse(said | _now(conn, sent, reader), 409)
        return _saved(change, redraws=sent.field.redraws, **_now(conn, sent, reader))


def _told(reader: Reader, text: str) -> str:
    """Return what a field was changed to as it was typed, cut short; a date or a bare number as
    understood."""
    plain = " ".join(text.split())
    try:
        if isinstance(reader, Moment) or not any(map(str.isalpha, plain)):
            return reader.say(reader.understand(text)) or plain or "nothing"
    except NotUnderstood:
        pass
    if len(plain) > MOST_TOLD:
        return f"{plain[: MOST_TOLD - 1].rstrip()}…"
    return plain or "nothing"


def _now(conn: Connection, sent: Sent, reader: Any) -> dict[str, str]:
    """Return what a field shows now."""
    row = row_at(conn, sent.place) or {}
    typed = typed_at(conn, [sent.place]).get(str(sent.place), {}).get(sent.name)
    text, meant, fault = shown(reader, value_in(sent.name, sent.field, row), typed)
    began = began_from(sent.name, sent.field, row, typed)
    return {"text": text, "meant": meant, "fault": fault, "began": began}


@router.post("/add")
def add(request: Request, id: int, form: Form) -> Response:
    """Add a row, with the name that was typed or none."""
    table, made, below, after = sent_row(form)
    name = form.text("name", most=120)
    with writing() as conn:
        try:
            fact = made.named(sheet(conn, id), dict(below), name)
        except NotUnderstood as why:
            raise Told(422, str(why)) from why
        words = f"added a {made.noun}" + (f", {_in_words(name)}" if name else "")
        added = Added(table, fact, below, after)
        change = add_part(conn, id, added, words=words, by=who(request), once=form.once)
        return _saved(change, heed=not_understood(fact))


def _in_words(name: str) -> str:
    """Return what was typed; a day, which a button names as it is stored, as people say it."""
    return date(name) if re.fullmatch(r"\d{4}-\d{2}-\d{2}", name) else name


@router.post("/duplicate")
def duplicate(request: Request, id: int, form: Form) -> Response:
    """Add the same once more, with all below it."""
    place = sent_place(form)
    made = made_of(place.table)
    with writing() as conn:
        row = part(conn, id, place)
        try:
            otherwise = made.again(sheet(conn, id), row) if made else {}
        except NotUnderstood as why:
            raise Told(422, str(why)) from why
        words, by = f"duplicated {_called(conn, place)}", who(request)
        return _saved(
            duplicate_part(conn, id, place, otherwise, words=words, by=by, once=form.once)
        )


@router.post("/move")
def move(request: Request, id: int, form: Form) -> Response:
    """Move a row among its like: `by` so many places, or `onto` the place of another."""
    place = sent_place(form)
    with writing() as conn:
        row = part(conn, id, place)
        order = [each["id"] for each in siblings(conn, TABLES[place.table], row)]
        onto = Place.read(form.values.get("onto", ""))
        if onto is not None and onto.id in order:
            to = order.index(onto.id)
        else:
            to = order.index(place.id) + form.whole("by", least=-10_000, most=10_000)
        words = f"moved {_called(conn, place)} to place {max(0, min(to, len(order) - 1)) + 1}"
        return _saved(move_part(conn, id, place, to, words=words, by=who(request), once=form.once))


@router.post("/delete")
def delete(request: Request, id: int, form: Form) -> Response:
    """Delete a row with all below it; what others changed of it, or have there, is told first."""
    place, seen_n = sent_place(form), form.whole("seen", least=0, most=10**6)
    with writing() as conn:
        part(conn, id, place)
        told = {"words": f"deleted {_called(conn, place)}", "by": who(request), "once": form.once}
        try:
            is_sure = form.has("sure")
            change = delete_part(conn, id, place, seen_n=seen_n, is_sure=is_sure, **told)
        except Conflict as clash:
            return JSONResponse({"error": clash.words, "seen": clash.theirs}, 409)
        return _saved(change)


@router.post("/undo")
def undo(request: Request, id: int, form: Form) -> Response:
    """Take a person's last change back, or the one that is named."""
    return _step(request, id, form, BACK)


@router.post("/redo")
def redo(request: Request, id: int, form: Form) -> Response:
    """Make again what a person took back last."""
    return _step(request, id, form, AGAIN)


def _step(request: Request, id: int, form: Form, way: str) -> Response:
    by, once = who(request), form.once
    with writing() as conn:
        part(conn, id, Place("productions", id))
        if form.has("n"):
            n = form.whole("n", least=1, most=10**6)
        else:
            n = _next(steps(conn, id, by), way)
        step = take_back if way == BACK else make_again
        return _saved(step(conn, id, n, by=by, once=once))


def _next(known: Steps, way: str) -> int:
    ahead = known.back if way == BACK else known.again
    if not ahead:
        what = "taken back" if way == BACK else "made again"
        among = f"among the last {REACH} changes"
        raise Told(409, f"There is nothing of yours {among} that could be {what}.")
    return ahead[0].n


@router.get("/news")
def news(request: Request, id: int, seen: int = 0, kitchen: str = "") -> Response:
    """Tell what others changed after a change that a page has seen, and how the planning stands.

    `kitchen` is the mark of the kitchen that the page has seen.
    """
    with reading() as conn:
        part(conn, id, Place("productions", id))
        newer = changes_since(conn, id, seen)
        mark, words = kitchen_mark(conn, id), [each.words for each in newer[:5]]
        if not words and kitchen not in ("", mark):
            words = [changed_elsewhere(conn, id)]
    if after := after_edits_of(request):
        after.look(id)
    told: dict[str, Any] = {"n": newer[0].n if newer else seen, "words": words}
    told |= {"kitchen": mark, "plan": mark_of(desk_of(request).draft(id))}
    return JSONResponse(told, headers={"Cache-Control": "no-store"})


def _called(conn: Connection, place: Place) -> str:
    row = row_at(conn, place)
    return "" if row is None else called(lambda at: row_at(conn, at), place.table, row)


def _saved(change: Change | None, **more: str | bool) -> Response:
    """Return what was saved; a change that was there already has no number of its own."""
    told: dict[str, Any] = {"n": 0, "words": "", "place": ""}
    if change is not None:
        place = change.outcome.get("place", "")
        told = {"n": change.n, "words": change.words, "place": place}
    return JSONResponse(told | more, headers={"Cache-Control": "no-store"})
