"""Drafts that were kept."""

import json
from typing import NamedTuple

from sqlalchemy import Connection, select

from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.tables.drafts import DRAFTS


class KeptDraft(NamedTuple):
    """A draft; with neither plan nor `failed` the planner was at work when it was last heard of."""

    key: str
    by: str
    asked_at: str
    day: Day
    plan: Plan | None
    failed: str | None


def draft_of(connection: Connection, production: int) -> KeptDraft | None:
    """Return the draft of a production, if there is one."""
    of = DRAFTS.c
    query = select(of.key, of.by, of.asked_at, of.day_document, of.document, of.failed)
    row = connection.execute(query.where(of.production_id == production)).first()
    if row is None:
        return None
    key, by, asked_at, day, plan, failed = row
    read = None if plan is None else Plan.model_validate(json.loads(plan))
    return KeptDraft(key, by, asked_at, Day.model_validate(json.loads(day)), read, failed)


def draft_mark(connection: Connection, production: int) -> str:
    """Return a mark of the draft of a production: another one when it comes, ends or goes."""
    of = DRAFTS.c
    query = select(of.key, of.document.is_not(None), of.failed.is_not(None))
    row = connection.execute(query.where(of.production_id == production)).first()
    return "" if row is None else f"{row[0]} {int(row[1])}{int(row[2])}"


def productions_with_drafts(connection: Connection, by: str | None = None) -> list[int]:
    """Return the productions that have a draft, of all or of those that one person asked for."""
    query = select(DRAFTS.c.production_id).order_by(DRAFTS.c.production_id)
    if by is not None:
        query = query.where(DRAFTS.c.by == by)
    return list(connection.execute(query).scalars())


def productions_to_answer(connection: Connection) -> set[int]:
    """Return the productions of which a draft is ready and neither accepted nor discarded."""
    query = select(DRAFTS.c.production_id).where(DRAFTS.c.document.is_not(None))
    return set(connection.execute(query).scalars())
