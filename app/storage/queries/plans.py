"""Published plans. They never change, so a plan that was read once is kept in memory."""

import json
from functools import lru_cache
from typing import Any, NamedTuple

from sqlalchemy import Connection, func, select

from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.refusals import NotThere
from app.storage.tables.plans import PLANS
from app.storage.translate import day_of

KEPT = 64


class PlanRow(NamedTuple):
    """A line of the list of published plans."""

    number: int
    status: str
    published_at: str
    published_by: str


def newest_number(connection: Connection, production: int) -> int:
    """Return the number of the published plan, 0 before the first."""
    query = select(func.max(PLANS.c.number)).where(PLANS.c.production_id == production)
    return connection.execute(query).scalar() or 0


def root_number(connection: Connection, production: int) -> int:
    """Return the number of the plan that was worked out fresh and mended ever since; 0 if none."""
    query = select(func.coalesce(PLANS.c.root, PLANS.c.number))
    query = query.where(PLANS.c.production_id == production).order_by(PLANS.c.number.desc())
    return connection.execute(query.limit(1)).scalar() or 0


def told_to(connection: Connection, production: int) -> int:
    """Return the number of the last event that the published plan takes in, 0 if none."""
    query = select(PLANS.c.told).where(PLANS.c.production_id == production)
    return connection.execute(query.order_by(PLANS.c.number.desc()).limit(1)).scalar() or 0


def published(connection: Connection, production: int) -> Plan | None:
    """Return the plan that holds: the one with the newest number, if there is one."""
    number = newest_number(connection, production)
    return plan_numbered(connection, production, number) if number else None


def published_at(connection: Connection, production: int) -> str:
    """Return when the plan that holds was published, in UTC; nothing before the first."""
    query = select(func.max(PLANS.c.published_at)).where(PLANS.c.production_id == production)
    return connection.execute(query).scalar() or ""


def plan_numbered(connection: Connection, production: int, number: int) -> Plan:
    """Return a published plan; NotThere if there is none of this number."""
    return _plan(_text(connection, production, number, PLANS.c.document))


def day_planned(connection: Connection, production: int, number: int | None = None) -> Day:
    """Return the day that a published plan (the newest) was made from, as it stood then.

    Boards and papers of a plan are drawn from this one: the day itself may have moved on.
    """
    wanted = newest_number(connection, production) if number is None else number
    return _day(_text(connection, production, wanted, PLANS.c.day_document))


def is_outdated(connection: Connection, production: int) -> bool:
    """Return whether the day has changed since the published plan was worked out."""
    query = (
        select(PLANS.c.day_fingerprint)
        .where(PLANS.c.production_id == production)
        .order_by(PLANS.c.number.desc())
        .limit(1)
    )
    planned = connection.execute(query).scalar()
    return planned is not None and planned != fingerprint(day_of(connection, production))


def all_plans(connection: Connection, production: int) -> list[PlanRow]:
    """Return the published plans of a production, the newest first."""
    of = PLANS.c
    query = select(of.number, of.status, of.published_at, of.published_by)
    query = query.where(of.production_id == production).order_by(of.number.desc())
    return [PlanRow(*row) for row in connection.execute(query)]


def _text(connection: Connection, production: int, number: int, column: Any) -> str:
    query = select(column).where(PLANS.c.production_id == production, PLANS.c.number == number)
    text = connection.execute(query).scalar()
    if text is None:
        raise NotThere(
            f"There is no plan {number} of this production."
            if number
            else "This production has no published plan yet. Work one out on the Count screen."
        )
    return str(text)


@lru_cache(maxsize=KEPT)
def _plan(text: str) -> Plan:
    return Plan.model_validate(json.loads(text))


@lru_cache(maxsize=KEPT)
def _day(text: str) -> Day:
    return Day.model_validate(json.loads(text))
