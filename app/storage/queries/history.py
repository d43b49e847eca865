"""The record of changes, as a person reads it: who changed what, when."""

from collections.abc import Collection
from typing import Any, NamedTuple

from sqlalchemy import Connection, select

from app.storage.tables.changes import CHANGES

PAGE = 100
_OF = CHANGES.c
_READ = (_OF.n, _OF.at, _OF.by, _OF.what, _OF.words, _OF.before, _OF.after, _OF.undoes)


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
    query = select(*_READ).where(of.production_id == production)
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


def nth_newest(connection: Connection, production: int, whats: Collection[str], count: int) -> int:
    """Return the number of the change that is the `count`-th from the newest of its kinds.

    Where there are fewer, it is 0, which is before all of them.
    """
    query = select(_OF.n).where(_OF.production_id == production, _OF.what.in_(whats))
    found = connection.execute(query.order_by(_OF.n.desc()).offset(count - 1).limit(1)).scalar()
    return int(found or 0)


def changes_since(connection: Connection, production: int, n: int) -> list[ChangeRow]:
    """Return the changes of a production after number `n`, the newest first."""
    query = select(*_READ).where(CHANGES.c.production_id == production, CHANGES.c.n > n)
    return [ChangeRow(*row) for row in connection.execute(query.order_by(CHANGES.c.n.desc()))]


def change_numbered(connection: Connection, production: int, n: int) -> ChangeRow | None:
    """Return one change of a production, None if there is none of this number."""
    query = select(*_READ).where(CHANGES.c.production_id == production, CHANGES.c.n == n)
    row = connection.execute(query).first()
    return None if row is None else ChangeRow(*row)
