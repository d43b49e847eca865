"""Drafts are kept while nobody has accepted or discarded them, also over an end of the server.

They are not written to the record: nothing of the production changes by them.
"""

import json
from functools import partial
from secrets import token_hex

from sqlalchemy import Connection, delete, insert, update

from app.planning.canonical import canonical
from app.planning.day import Day
from app.planning.plan import Plan
from app.storage import engine, news
from app.storage.clock import now
from app.storage.tables.drafts import DRAFTS


def begin_draft(connection: Connection, production: int, day: Day, *, by: str) -> str:
    """Keep that a plan of a day was asked for, in place of any draft before; return its key."""
    drop_draft(connection, production)
    key = token_hex(16)
    row = {
        "production_id": production,
        "key": key,
        "by": by,
        "asked_at": now(),
        "day_document": canonical(day).decode(),
    }
    connection.execute(insert(DRAFTS), row)
    _have_told(connection, production)
    return key


def end_draft(connection: Connection, key: str, plan: Plan | None, failed: str | None) -> None:
    """Keep what came of a draft, if nobody has dropped it meanwhile."""
    written = None
    if plan is not None:
        written = json.dumps(plan.document(), ensure_ascii=False, separators=(",", ":"))
    values = {"document": written, "failed": failed}
    ended = update(DRAFTS).where(DRAFTS.c.key == key).values(values)
    of = connection.execute(ended.returning(DRAFTS.c.production_id)).scalar()
    if of is not None:
        _have_told(connection, of)


def drop_draft(connection: Connection, production: int) -> None:
    """Forget the draft of a production."""
    connection.execute(delete(DRAFTS).where(DRAFTS.c.production_id == production))
    _have_told(connection, production)


def _have_told(connection: Connection, production: int) -> None:
    told = news.News(production, "draft", 0)
    engine.after_commit(connection, partial(news.tell, told))
