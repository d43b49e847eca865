"""Batches of a published plan, and their phases: when, by whom, in what."""

from typing import Any

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, document, sized, table_of, whole


class Batch(Row, table=True):
    """One execution of a way; `key` is the plan's own id of it."""

    __tablename__ = "batches"
    __table_args__ = (
        UniqueConstraint("plan_id", "key"),
        *whole("position"),
        *whole("count", low=1),
        *sized("starts", "ends", low=16, high=22),
    )
    id: int | None = Field(default=None, primary_key=True)
    plan_id: int = Field(foreign_key="plans.id", ondelete="CASCADE")
    position: int
    key: str
    demonstration: str
    stage: str
    way: str
    count: int
    starts: str
    ends: str
    consumes: list[Any] = Field(sa_column=document())


class PlannedPhase(Row, table=True):
    """One phase of a batch."""

    __tablename__ = "planned_phases"
    __table_args__ = (
        UniqueConstraint("batch_id", "position"),
        *whole("position"),
        *sized("starts", "ends", low=16, high=22),
    )
    id: int | None = Field(default=None, primary_key=True)
    batch_id: int = Field(foreign_key="batches.id", ondelete="CASCADE")
    position: int
    starts: str
    ends: str
    crew: list[Any] = Field(sa_column=document())
    equipment: list[Any] = Field(sa_column=document())
    places: list[Any] | None = Field(sa_column=document(is_needed=False))


BATCHES = table_of(Batch)
PLANNED_PHASES = table_of(PlannedPhase)
