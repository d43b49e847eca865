"""The batches of the published plan as rows: what to do when, by whom, in what."""

from typing import Any, NamedTuple

from sqlalchemy import Connection, Select, func, select

from app.storage.tables.batches import BATCHES, PLANNED_PHASES
from app.storage.tables.plans import PLANS


class BatchRow(NamedTuple):
    """One batch of the published plan; `batch` is the plan's own id of it."""

    batch: str
    demonstration: str
    stage: str
    way: str
    copies: int
    starts: str
    ends: str
    consumes: list[str]


class PhaseRow(NamedTuple):
    """One phase of one batch; `equipment` are `{"id", "units"}`, `places` as in the plan."""

    batch: str
    demonstration: str
    stage: str
    way: str
    copies: int
    phase: int
    starts: str
    ends: str
    crew: list[str]
    equipment: list[dict[str, Any]]
    places: list[dict[str, Any]] | None


def batches(connection: Connection, production: int) -> list[BatchRow]:
    """Return the batches of the published plan, the earliest first."""
    of = BATCHES.c
    named = (of.key, of.demonstration, of.stage, of.way, of.count, of.starts, of.ends, of.consumes)
    query = _of_published(select(*named).join(PLANS), production).order_by(of.starts, of.position)
    return [BatchRow(*row) for row in connection.execute(query)]


def phases(connection: Connection, production: int) -> list[PhaseRow]:
    """Return every phase of the published plan, the earliest first."""
    of, each = BATCHES.c, PLANNED_PHASES.c
    query = (
        select(of.key, of.demonstration, of.stage, of.way, of.count, each.position)
        .add_columns(each.starts, each.ends, each.crew, each.equipment, each.places)
        .join_from(PLANNED_PHASES, BATCHES)
        .join(PLANS)
        .order_by(each.starts, of.position, each.position)
    )
    rows = connection.execute(_of_published(query, production))
    return [PhaseRow(*row) for row in rows]


def _of_published(query: Select[*tuple[Any, ...]], production: int) -> Select[*tuple[Any, ...]]:
    newest = select(func.max(PLANS.c.number)).where(PLANS.c.production_id == production)
    return query.where(
        PLANS.c.production_id == production, PLANS.c.number == newest.scalar_subquery()
    )
