"""The record of changes: who, when, what, before, after; undo, history and merging read it."""

from typing import Any

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, document, sized, table_of, whole


class Change(Row, table=True):
    """One change by one person.

    `before` and `after` hold, for each place that changed (`runs/take-1`), its fields and their
    values; a place that is not there is null. `outcome` answers a repeated request.
    """

    __tablename__ = "changes"
    __table_args__ = (
        UniqueConstraint("production_id", "n"),
        UniqueConstraint("once"),
        *whole("n", low=1),
        *sized("by", "what", "once", high=200),
    )
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE")
    n: int
    at: str
    by: str
    what: str
    words: str
    before: dict[str, Any] = Field(sa_column=document())
    after: dict[str, Any] = Field(sa_column=document())
    once: str
    outcome: dict[str, Any] = Field(sa_column=document())
    undoes: int | None = None


CHANGES = table_of(Change)
