"""The record that every change writes in its own transaction: who, when, what, before, after.

A change first asks `repeated` with its once-key: a request that was sent twice gets the first
outcome and changes nothing.
"""

from collections.abc import Sequence
from functools import partial
from typing import Any, NamedTuple

from sqlalchemy import Column, Connection, Row, func, insert, select

from app.storage import engine, news
from app.storage.clock import now
from app.storage.queries.kitchens import is_of_kitchen, sharing_kitchen
from app.storage.refusals import Refusal
from app.storage.tables.changes import CHANGES

Places = dict[str, dict[str, Any] | None]


class Change(NamedTuple):
    """A recorded change: `before` and `after` hold `{place: {field: value}}`."""

    production: int
    n: int
    at: str
    by: str
    what: str
    words: str
    before: Places
    after: Places
    outcome: dict[str, Any]


_OF = CHANGES.c
_READ = (
    _OF.production_id,
    _OF.n,
    _OF.at,
    _OF.by,
    _OF.what,
    _OF.words,
    _OF.before,
    _OF.after,
    _OF.outcome,
)


def repeated(connection: Connection, once: str, what: str) -> Change | None:
    """Return the change that this once-key made before, if it did.

    Raises
    ------
    Refusal
        If the key belongs to another kind of change.
    """
    row = made_by(connection, _READ, once, what)
    return None if row is None else Change(*row)


def made_by(
    connection: Connection, read: Sequence[Column[Any]], once: str, what: str
) -> Row[*tuple[Any, ...]] | None:
    """Return the row of a record of changes that a once-key made; raises as `repeated` does."""
    row = connection.execute(select(*read).where(read[0].table.c.once == once)).first()
    if row is not None and row.what != what:
        raise Refusal("This page is too old to save from. Nothing was changed; load it again.")
    return row


def record(
    connection: Connection,
    production: int,
    what: str,
    words: str,
    before: Places,
    after: Places,
    *,
    by: str,
    once: str,
    outcome: dict[str, Any] | None = None,
    undoes: int | None = None,
) -> Change:
    """Write a change down and have it told once it is stored."""
    newest = connection.execute(
        select(func.max(_OF.n)).where(_OF.production_id == production)
    ).scalar()
    row = Change(
        production, (newest or 0) + 1, now(), by, what, words, before, after, outcome or {}
    )
    values = row._asdict() | {"production_id": production, "once": once, "undoes": undoes}
    del values["production"]
    connection.execute(insert(CHANGES), values)
    told = [news.News(production, "plan" if what == "plan published" else "day", row.n)]
    if is_of_kitchen([*before, *after]):
        others = sharing_kitchen(connection, production)
        told += [news.News(other, "kitchen", row.n) for other in others]
    for each in told:
        engine.after_commit(connection, partial(news.tell, each))
    return row
