"""The copies of the published plan, by id or by the tag on their label."""

from typing import Any, NamedTuple

from sqlalchemy import Connection, func, or_, select

from app.storage.tables.batches import BATCHES
from app.storage.tables.copies import COPIES
from app.storage.tables.plans import PLANS


class CopyRow(NamedTuple):
    """One copy; `made_by`, `taken_by` and `places` as in the plan."""

    copy: str
    tag: str
    demonstration: str
    stage: str
    staged_at: str
    role: str
    batch: str | None
    made_by: dict[str, Any]
    taken_by: list[dict[str, Any]]
    places: list[dict[str, Any]]


def copies(connection: Connection, production: int, named: str | None = None) -> list[CopyRow]:
    """Return the copies of the published plan, as they are staged.

    `named` is a copy's id or a tag, however it is capitalised; one thing bears its tag through
    several stages, so a tag finds a copy a stage.
    """
    of = COPIES.c
    newest = select(func.max(PLANS.c.number)).where(PLANS.c.production_id == production)
    query = (
        select(of.key, of.tag, of.demonstration, of.stage, of.staged_at, of.role, of.batch)
        .add_columns(of.made_by, of.taken_by, of.places)
        .join(PLANS)
        .where(PLANS.c.production_id == production, PLANS.c.number == newest.scalar_subquery())
        .order_by(of.staged_at, of.position)
    )
    if named is not None:
        same_tag = func.upper(of.tag) == named.strip().upper()
        query = query.where(or_(of.key == named.strip(), same_tag))
    return [CopyRow(*row) for row in connection.execute(query)]


def names_since(connection: Connection, production: int, number: int) -> list[str]:
    """Return the names that the plans of a production gave since one of them, that one as well.

    Ids of copies and of batches, and the tags on labels, which may lie about though the newest
    plan knows nothing of them any more.
    """
    plans = select(PLANS.c.id).where(PLANS.c.production_id == production, PLANS.c.number >= number)
    queries = [
        select(column).distinct().where(table.c.plan_id.in_(plans))
        for table, column in (
            (COPIES, COPIES.c.key),
            (COPIES, COPIES.c.tag),
            (BATCHES, BATCHES.c.key),
        )
    ]
    return [str(row[0]) for query in queries for row in connection.execute(query)]
