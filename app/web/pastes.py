"""A block of cells from a spreadsheet, pasted over fields and, beyond them, as new rows."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from app.storage.changes.fields import Filled, paste
from app.storage.changes.structure import Added
from app.storage.engine import writing
from app.storage.parts import part
from app.storage.queries.sheets import Sheet, sheet
from app.storage.refusals import Conflict
from app.web import words
from app.web.cells import read
from app.web.errors import Told
from app.web.fields import field_of
from app.web.forms import Form
from app.web.seen import who
from app.web.sent import NewRow, Sent, sent_block
from app.web.typed import NotUnderstood

router = APIRouter(prefix="/productions/{id}/edit")


@router.post("/paste")
def paste_block(request: Request, id: int, form: Form) -> Response:
    """Save a block as one change: all of it, or nothing."""
    cells, rows = sent_block(form)
    with writing() as conn:
        known = sheet(conn, id)
        filled = [_filled(known, part(conn, id, cell.place), cell) for cell in cells]
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


def _filled(known: Sheet, row: dict[str, object], cell: Sent) -> Filled:
    values, typed, _ = read(cell.field.reads(known, row), cell.name, cell.field, cell.text)
    return Filled(cell.place, cell.name, values, typed, cell.began, cell.began_typed)


def _added(known: Sheet, row: NewRow) -> Added:
    """Return a row with the columns that were pasted; what is not understood stands beside it."""
    first = row.name or next(iter(row.texts.values()), "")
    try:
        fact = row.made.named(known, dict(row.below), first.strip()[:120])
    except NotUnderstood as why:
        raise Told(422, str(why)) from why
    typed: list[tuple[str, str]] = []
    for name, text in row.texts.items():
        field = field_of(row.table, name)
        if field is None or not text.strip():
            continue
        values, kept, _ = read(field.reads(known, dict(row.below)), name, field, text)
        fact = fact.model_copy(update=values)
        typed += [(name, kept)] if kept is not None else []
    return Added(row.table, fact, row.below, typed=tuple(typed))
