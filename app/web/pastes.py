"""A block of cells from a spreadsheet, pasted over fields and, beyond them, as new rows."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from app.planning.day import Fact
from app.storage.changes.fields import Filled, paste
from app.storage.changes.structure import Added
from app.storage.engine import writing
from app.storage.parts import Place, Values, part
from app.storage.queries.sheets import Sheet, sheet
from app.storage.refusals import Conflict
from app.web import words
from app.web.cells import read
from app.web.errors import Told
from app.web.fields import Field, field_of
from app.web.fields.lines import names_source
from app.web.forms import Form
from app.web.seen import who
from app.web.sent import NewRow, Sent, sent_block
from app.web.typed import Names, NotUnderstood, Reader, Text

router = APIRouter(prefix="/productions/{id}/edit")


@router.post("/paste")
def paste_block(request: Request, id: int, form: Form) -> Response:
    """Save a block as one change: all of it, or nothing."""
    cells, rows = sent_block(form)
    with writing() as conn:
        known = sheet(conn, id)
        filled = _filled(known, cells, {at: part(conn, id, at) for at in _places(cells)})
        added = [_added(known, row) for row in rows]
        said = [words.many(len(filled), "cell")] if filled else []
        said += [words.many(len(added), "new row")] if added else []
        told = f"pasted {words.listed(said) or 'nothing'}"
        try:
            change = paste(conn, id, filled, added, words=told, by=who(request), once=form.once)
        except Conflict as clash:
            error = f"{clash.by} changed one of these cells meanwhile. Nothing was pasted."
            return JSONResponse({"error": error}, 409)
    answer = {"n": change.n, "words": change.words} if change else {"n": 0, "words": ""}
    return JSONResponse(answer, headers={"Cache-Control": "no-store"})


def _places(cells: list[Sent]) -> list[Place]:
    return list(dict.fromkeys(cell.place for cell in cells))


def _filled(known: Sheet, cells: list[Sent], rows: dict[Place, Values]) -> list[Filled]:
    """Return what the cells fill in; one may be read by another of its row, a date by its hour."""
    found: list[Filled] = []
    given = {(cell.place, cell.name) for cell in cells}
    for cell in cells:
        row = rows[cell.place]
        reader = cell.field.reads(known, row)
        text = _in_lines(cell.field, reader, cell.text)
        values, typed, fault = read(reader, cell.name, cell.field, text)
        if fault and not text.strip():
            continue  # An empty cell, such as those behind a merged one, says nothing.
        along = cell.field.along(row, values)
        values |= {name: value for name, value in along.items() if (cell.place, name) not in given}
        rows[cell.place] = row | values
        found.append(Filled(cell.place, cell.name, values, typed, cell.began, cell.began_typed))
    return found


def _added(known: Sheet, row: NewRow) -> Added:
    """Return a row with the columns that were pasted; what is not understood stands beside it."""
    fact = _begun(known, row)
    typed: list[tuple[str, str]] = []
    for name, text in row.texts.items():
        field = field_of(row.table, name)
        if field is None or not text.strip():
            continue
        so_far = fact.model_dump(warnings=False) | row.below
        reader = field.reads(known, so_far)
        values, kept, _ = read(reader, name, field, _in_lines(field, reader, text))
        fact = fact.model_copy(update=values | field.along(so_far, values))
        typed += [(name, kept)] if kept is not None else []
    follows = row.table == "stages" and not names_source(row.name)
    return Added(row.table, fact, row.below, typed=tuple(typed), follows=follows)


def _is_words(field: Field | None) -> bool:
    return field is not None and isinstance(field.reader, Text) and not field.depends


def _in_lines(field: Field, reader: Reader, text: str) -> str:
    """Return a text as its field can show it: in one line, unless that is a long one."""
    if field.kind == "long":
        return text
    between = "; " if isinstance(reader, Names) else " "
    return between.join(line.strip() for line in text.splitlines() if line.strip())


def _begun(known: Sheet, row: NewRow) -> Fact:
    """Return how a row begins: by its first words as a name, or without one."""
    words_in = (text for name, text in row.texts.items() if _is_words(field_of(row.table, name)))
    first = row.name or next(words_in, "")
    for name in (" ".join(first.split())[:120], ""):
        try:
            return row.made.named(known, dict(row.below), name)
        except NotUnderstood as why:
            said = str(why)
    raise Told(422, said)
