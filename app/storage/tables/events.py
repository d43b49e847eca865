"""The event log: what happened on the day, only ever appended to."""

from typing import Any

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, document, sized, table_of, whole


class Event(Row, table=True):
    """One event; `n` counts up within a production, `once` makes a repeated sending the same."""

    __tablename__ = "events"
    __table_args__ = (
        UniqueConstraint("production_id", "once"),
        *whole("n", low=1, high=2**53),
        *whole("plan_number", low=1),
        *sized("at", low=16, high=22),
        *sized("once", "by", "event", high=200),
    )
    production_id: int = Field(primary_key=True, foreign_key="productions.id", ondelete="CASCADE")
    n: int = Field(primary_key=True)
    plan_number: int
    at: str
    once: str
    by: str
    event: str
    says: dict[str, Any] = Field(sa_column=document())
    stored_at: str


class Echo(Row, table=True):
    """A tick that said what the log said already; its key answers with that event's `n`."""

    __tablename__ = "echoes"
    __table_args__ = (*whole("n", low=1, high=2**53), *sized("once", high=200))
    production_id: int = Field(primary_key=True, foreign_key="productions.id", ondelete="CASCADE")
    once: str = Field(primary_key=True)
    n: int


EVENTS = table_of(Event)
ECHOES = table_of(Echo)
