"""What a form of an editor asks for: which row, which field, from what it began."""

import json
from typing import Any, NamedTuple

from app.storage.parts import TABLES, Place, Values, links
from app.web.errors import Told
from app.web.fields import Field, Made, columns_of, field_of, made_of
from app.web.forms import Typed

TOO_OLD = "This page is too old to save from. What you typed is still on it; load it again."
LONGEST = 4_000
MOST_CELLS, MOST_ROWS = 5_000, 500


class Sent(NamedTuple):
    """One field that somebody filled in."""

    place: Place
    name: str
    field: Field
    text: str
    began: Values
    began_typed: str | None


def sent_place(form: Typed) -> Place:
    """Return the row that a form speaks of."""
    place = Place.read(form.values.get("place", ""))
    if place is None:
        raise Told(422, TOO_OLD)
    return place


def sent_field(form: Typed) -> Sent:
    """Return the field that a form fills in."""
    text = form.text("text", most=LONGEST)
    if form.faults:
        raise Told(422, form.faults["text"])
    return filled(
        form.values.get("place"), form.values.get("field"), text, form.values.get("began")
    )


def filled(place: object, name: object, text: object, began: object) -> Sent:
    """Return a field of a row with its text and what the form began from."""
    at = Place.read(place) if isinstance(place, str) else None
    field = field_of(at.table, name) if at and isinstance(name, str) else None
    if at is None or field is None or not isinstance(name, str) or not isinstance(text, str):
        raise Told(422, TOO_OLD)
    values, typed = _began(began)
    if set(values) != set(columns_of(name, field)):
        raise Told(422, TOO_OLD)
    return Sent(at, name, field, text[:LONGEST], values, typed)


def sent_row(form: Typed) -> tuple[str, Made, dict[str, int], Place | None]:
    """Return the table of a row to add, how it begins, what it lies below, after which row."""
    table = form.values.get("table", "")
    made = made_of(table)
    below = below_of(table, _json(form.values.get("below", "")))
    if made is None or form.faults:
        raise Told(422, TOO_OLD)
    return table, made, below, Place.read(form.values.get("after", ""))


def below_of(table: str, said: object) -> dict[str, int]:
    """Return what a row lies below, by column."""
    known = {column.name for column, _ in links(TABLES[table])} if table in TABLES else set()
    is_sound = isinstance(said, dict) and said and said.keys() <= known
    if not isinstance(said, dict) or not is_sound or not all(map(_is_number, said.values())):
        raise Told(422, TOO_OLD)
    return said


def _is_number(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _began(text: object) -> tuple[Values, str | None]:
    read = _json(text)
    if isinstance(read, list) and len(read) == 2 and isinstance(read[0], dict):
        values, typed = read
        if typed is None or isinstance(typed, str):
            return values, typed
    raise Told(422, TOO_OLD)


def _json(text: object) -> Any:
    try:
        return json.loads(text) if isinstance(text, str) else None
    except ValueError as error:
        raise Told(422, TOO_OLD) from error


class NewRow(NamedTuple):
    """A row of a pasted block that goes beyond the table; `name` where it is one text alone."""

    table: str
    made: Made
    below: dict[str, int]
    texts: dict[str, str]
    name: str


def sent_block(form: Typed) -> tuple[list[Sent], list[NewRow]]:
    """Return the fields and the new rows of a pasted block."""
    block = _json(form.values.get("block", ""))
    cells, rows = (block.get("cells"), block.get("rows")) if isinstance(block, dict) else (0, 0)
    if not isinstance(cells, list) or not isinstance(rows, list):
        raise Told(422, TOO_OLD)
    if len(cells) > MOST_CELLS or len(rows) > MOST_ROWS:
        raise Told(422, f"A block of at most {MOST_CELLS} cells and {MOST_ROWS} new rows, please.")
    if not all(isinstance(cell, list) and len(cell) == 4 for cell in cells):
        raise Told(422, TOO_OLD)
    return [filled(*cell) for cell in cells], [_new_row(row) for row in rows]


def _new_row(said: object) -> NewRow:
    if not isinstance(said, dict) or not isinstance(said.get("texts"), dict):
        raise Told(422, TOO_OLD)
    table, texts = str(said.get("table")), said["texts"]
    made = made_of(table)
    is_known = all(field_of(table, name) and isinstance(text, str) for name, text in texts.items())
    if made is None or not is_known:
        raise Told(422, TOO_OLD)
    below = below_of(table, _json(said.get("below")))
    return NewRow(table, made, below, texts, str(said.get("name") or ""))
