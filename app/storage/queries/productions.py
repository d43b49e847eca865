"""The list of productions, and one of it."""

from typing import Any, NamedTuple

from sqlalchemy import Connection, Select, func, select

from app.planning.day import Day
from app.storage.tables.changes import CHANGES
from app.storage.tables.demonstrations import DEMONSTRATIONS
from app.storage.tables.kitchens import COOKS, EQUIPMENT, KITCHENS
from app.storage.tables.plans import PLANS
from app.storage.tables.productions import PRODUCTIONS
from app.storage.tables.runs import RUNS
from app.storage.translate import days


class ProductionRow(NamedTuple):
    """A line of the list; `plan` is the number of the published plan, 0 before the first."""

    id: int
    title: str
    kind: str
    timezone: str
    prep_from: str
    demonstrations: int
    runs: int
    first_run: str | None
    last_run: str | None
    plan: int
    changed_at: str


class RemovedRow(NamedTuple):
    """A removed production, and the change that took it out of the list."""

    id: int
    title: str
    removed_at: str
    change: int
    by: str


def all_productions(connection: Connection) -> list[ProductionRow]:
    """Return every production that is not removed, the last changed first."""
    query = _lines().where(PRODUCTIONS.c.removed_at.is_(None))
    rows = [ProductionRow(*row) for row in connection.execute(query)]
    return sorted(rows, key=lambda row: (row.changed_at, row.id), reverse=True)


def production(connection: Connection, id: int) -> ProductionRow:
    """Return one production; NotThere if there is none or it was removed."""
    days.production_row(connection, id)
    row = connection.execute(_lines().where(PRODUCTIONS.c.id == id)).one()
    return ProductionRow(*row)


class KitchenRow(NamedTuple):
    """A kitchen that is kept: its number and name, and what it has."""

    id: int
    name: str
    equipment: int
    crew: int


def kitchens(connection: Connection) -> list[KitchenRow]:
    """Return the kitchens that have anything in them, by name."""
    of = KITCHENS.c
    equipment = select(func.count()).where(EQUIPMENT.c.kitchen_id == of.id)
    crew = select(func.count()).where(COOKS.c.kitchen_id == of.id)
    counted = (each.correlate(KITCHENS).scalar_subquery() for each in (equipment, crew))
    query = select(of.id, of.name, *counted).order_by(of.name, of.id)
    rows = [KitchenRow(*row) for row in connection.execute(query)]
    return [row for row in rows if row.equipment or row.crew]


def removed_productions(connection: Connection) -> list[RemovedRow]:
    """Return what was removed and can be brought back, the latest first."""
    query = (
        select(PRODUCTIONS.c.id, PRODUCTIONS.c.title, PRODUCTIONS.c.removed_at)
        .add_columns(CHANGES.c.n, CHANGES.c.by)
        .join(CHANGES, CHANGES.c.production_id == PRODUCTIONS.c.id)
        .where(PRODUCTIONS.c.removed_at.is_not(None), CHANGES.c.what == "production removed")
        .order_by(PRODUCTIONS.c.removed_at.desc(), CHANGES.c.n.desc())
    )
    found: dict[int, RemovedRow] = {}
    for row in connection.execute(query):
        found.setdefault(row.id, RemovedRow(*row))
    return list(found.values())


def day(connection: Connection, id: int) -> Day:
    """Return the day of a production as it stands now; NotThere if there is none."""
    return days.day_of(connection, id)


def newest_change(connection: Connection, id: int) -> int:
    """Return the number of the last change of a production, 0 if there is none."""
    query = select(func.max(CHANGES.c.n)).where(CHANGES.c.production_id == id)
    return connection.execute(query).scalar() or 0


def newest_mark(connection: Connection, id: int) -> int:
    """Return a number that grows with each change of a production or of its kitchen.

    A kitchen is kept once: who changes it from another production changes it here too.
    """
    of = PRODUCTIONS.c
    kitchen = select(of.kitchen_id).where(of.id == id).scalar_subquery()
    query = select(func.max(CHANGES.c.id)).join(PRODUCTIONS).where(of.kitchen_id == kitchen)
    return connection.execute(query).scalar() or 0


def timezone_of(connection: Connection, id: int) -> str:
    """Return the time zone of a production; NotThere if there is none or it was removed."""
    return str(days.production_row(connection, id)["timezone"])


def _lines() -> Select[*tuple[Any, ...]]:
    of = PRODUCTIONS.c
    demonstrations = select(func.count()).where(DEMONSTRATIONS.c.production_id == of.id)
    runs = select(func.count()).where(RUNS.c.production_id == of.id)
    first = select(func.min(RUNS.c.starts)).where(RUNS.c.production_id == of.id)
    last = select(func.max(RUNS.c.starts)).where(RUNS.c.production_id == of.id)
    plan = select(func.coalesce(func.max(PLANS.c.number), 0)).where(PLANS.c.production_id == of.id)
    changed = select(func.coalesce(func.max(CHANGES.c.at), of.made_at)).where(
        CHANGES.c.production_id == of.id
    )
    counted = (demonstrations, runs, first, last, plan, changed)
    named = (of.id, of.title, of.kind, of.timezone, of.prep_from)
    return select(*named, *(each.correlate(PRODUCTIONS).scalar_subquery() for each in counted))
