"""Runs: the passes of the demonstrations, in the order of the day file."""

from typing import Any

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, document, one_of, sized, table_of, truth, whole

KINDS = ("rehearsal", "take", "pickup", "stills", "tasting", "sitting")


class Run(Row, table=True):
    """A run of a production; `beats` null means all that its kind has."""

    __tablename__ = "runs"
    __table_args__ = (
        UniqueConstraint("production_id", "key"),
        *sized("key", high=48),
        *sized("starts", low=16, high=22),
        one_of("kind", *KINDS),
        *whole("position", "ready_margin_min"),
        *whole("stations", low=1),
        *truth("starts_at_first_beat", "dry"),
    )
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE")
    position: int
    key: str
    name: str | None
    demonstration: str
    kind: str
    starts: str
    starts_at_first_beat: bool
    beats: list[Any] | None = Field(sa_column=document(is_needed=False))
    stations: int
    ready_margin_min: int | None
    dry: bool
    people: list[Any] = Field(sa_column=document())


RUNS = table_of(Run)
