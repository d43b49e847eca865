"""Beats: the moments in front of camera, what each needs and what it leaves."""

from typing import Any

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, document, sized, table_of, truth, whole


class Beat(Row, table=True):
    """A beat of a demonstration; `kinds` null means every kind of run."""

    __tablename__ = "beats"
    __table_args__ = (
        UniqueConstraint("demonstration_id", "key"),
        *sized("key", high=48),
        *whole("position", "starts_s"),
        *whole("lasts_s", low=1),
    )
    id: int | None = Field(default=None, primary_key=True)
    demonstration_id: int = Field(foreign_key="demonstrations.id", ondelete="CASCADE")
    position: int
    key: str
    name: str | None
    starts_s: int
    lasts_s: int
    kinds: list[Any] | None = Field(sa_column=document(is_needed=False))
    tools: list[Any] = Field(sa_column=document())
    dressing: list[Any] = Field(sa_column=document())
    note: str


class Need(Row, table=True):
    """Copies of a stage that a beat takes, and backups beside them."""

    __tablename__ = "needs"
    __table_args__ = (
        UniqueConstraint("beat_id", "stage"),
        *whole("position", "backups", "ready_margin_min"),
        *whole("count", low=1),
        *truth("untouched", "tasting", "per_station"),
    )
    id: int | None = Field(default=None, primary_key=True)
    beat_id: int = Field(foreign_key="beats.id", ondelete="CASCADE")
    position: int
    stage: str
    count: int
    backups: int
    untouched: bool
    tasting: bool
    ready_margin_min: int | None
    per_station: bool


class Leaving(Row, table=True):
    """Copies of a stage that a beat leaves."""

    __tablename__ = "leavings"
    __table_args__ = (
        UniqueConstraint("beat_id", "stage"),
        *whole("position"),
        *whole("count", low=1),
        *truth("per_station"),
    )
    id: int | None = Field(default=None, primary_key=True)
    beat_id: int = Field(foreign_key="beats.id", ondelete="CASCADE")
    position: int
    stage: str
    count: int
    per_station: bool


BEATS = table_of(Beat)
NEEDS = table_of(Need)
LEAVINGS = table_of(Leaving)
