"""The record of what changes for the house: packs, prices, the larder, what it has chosen.

Every change first asks `repeated` with its once-key, as those of a production do.
"""

from typing import NamedTuple

from sqlalchemy import Connection, func, insert, select

from app.storage import engine, news
from app.storage.changes.record import Places, made_by
from app.storage.clock import now
from app.storage.tables.goods import HOUSE_CHANGES

_OF = HOUSE_CHANGES.c


class HouseChange(NamedTuple):
    """A recorded change: `before` and `after` hold `{place: {field: value}}`; null is not there."""

    n: int
    at: str
    by: str
    what: str
    words: str
    before: Places
    after: Places
    undoes: int | None


_READ = [_OF[field] for field in HouseChange._fields]


def repeated(connection: Connection, once: str, what: str) -> HouseChange | None:
    """Return the change that this once-key made before, if it did; raises as a production's."""
    row = made_by(connection, _READ, once, what)
    return None if row is None else HouseChange(*row)


def record(
    connection: Connection,
    what: str,
    words: str,
    before: Places,
    after: Places,
    *,
    by: str,
    once: str,
    undoes: int | None = None,
) -> HouseChange:
    """Write a change of the house down."""
    newest = connection.execute(select(func.max(_OF.n))).scalar() or 0
    change = HouseChange(newest + 1, now(), by, what, words, before, after, undoes)
    connection.execute(insert(HOUSE_CHANGES), change._asdict() | {"once": once})
    told = news.News(news.HOUSE, "house", change.n)
    engine.after_commit(connection, lambda: news.tell(told))
    return change


def change_numbered(connection: Connection, n: int) -> HouseChange | None:
    """Return a change of the house, None if there is none of that number."""
    row = connection.execute(select(*_READ).where(_OF.n == n)).first()
    return None if row is None else HouseChange(*row)
