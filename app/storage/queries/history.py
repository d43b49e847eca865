"""The record of changes, as a person reads it: who changed what, when."""

from typing import Any, NamedTuple

from sqlalchemy import Connection, select

from app.storage.tables.changes import CHANGES

PAGE = 100


class ChangeRow(NamedTuple):
    """One change. `before` and `after` hold `{place: {field: value}}` or `{place: null}`."""

    n: int
    at: str
    by: str
    what: str
    words: str
    before: dict[str, Any]
    after: dict[str, Any]
    undoes: int | None


def history(
    connection: Connection, production: int, before_n: int | None = None, most: int = PAGE
) -> list[ChangeRow]:
    """Return the changes of a production, the newest first; `before_n` turns the page."""
    of = CHANGES.c
    query = select(of.n, of.at, of.by, of.what, of.words, of.before, of.after, of.undoes)
    query = query.where(of.production_id == production)
    if before_n is not None:
        query = query.where(of.n < before_n)
    return [ChangeRow(*row) for row in connection.execute(query.order_by(of.n.desc()).limit(most))]


def last_change_of(
    connection: Connection, production: int, place: str, field: str
) -> ChangeRow | None:
    """Return who last changed a field of a place, if somebody did."""
    before = None
    while page := history(connection, production, before):
        for row in page:
            if field in (row.after.get(place) or {}):
                return row
        before = page[-1].n
    return None
