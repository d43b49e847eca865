"""What a person is asked before a row is deleted: what others changed of it, or have below it."""

from collections import Counter

from sqlalchemy import Connection, select

from app.storage.changes.applying import TYPED
from app.storage.parts import Place, Values
from app.storage.queries.history import changes_since
from app.storage.refusals import Conflict
from app.storage.tables.productions import PRODUCTIONS

Rows = dict[Place, Values]
SHOWN = 3


def ask(connection: Connection, production: int, rows: Rows, seen_n: int, *, is_sure: bool) -> None:
    """Ask before rows are deleted of which the person may not know all.

    `seen_n` is the number of the last change that the person saw; `is_sure` tells that they were
    asked, and want it all the same.

    Raises
    ------
    Conflict
        If anything of the rows was changed since, or another production has something there.
    """
    _ask_unseen(connection, production, rows, seen_n)
    own = without_others(rows, production)
    elsewhere = Counter(row["production_id"] for place, row in rows.items() if place not in own)
    if not elsewhere or is_sure:
        return
    query = select(PRODUCTIONS.c.title).where(PRODUCTIONS.c.id.in_(elsewhere))
    titles = [f"“{title}”" for title in connection.execute(query.order_by("title")).scalars()]
    more = f" and {len(titles) - SHOWN} more" if len(titles) > SHOWN else ""
    spans = "a span" if elsewhere.total() == 1 else f"{elsewhere.total()} spans"
    raise Conflict(
        f"This kitchen is also that of {', '.join(titles[:SHOWN])}{more}, where {spans} of this "
        "would go along: who is on shift, or what is closed. Delete all the same?",
        field="",
        theirs=str(seen_n),
        yours=None,
        by="",
    )


def without_others(rows: Rows, production: int) -> Rows:
    """Return the rows but for those of another production which has the same kitchen."""
    return {
        place: row
        for place, row in rows.items()
        if row.get("production_id", production) == production
    }


def _ask_unseen(connection: Connection, production: int, rows: Rows, seen_n: int) -> None:
    places = {str(place) for place in rows} | {f"{TYPED}{place}" for place in rows}
    for change in changes_since(connection, production, seen_n):
        if not places.isdisjoint(change.after):
            raise Conflict(
                f"{change.words} You had not seen that yet. Delete all the same?",
                field="",
                theirs=change.n,
                yours=None,
                by=change.by,
            )
