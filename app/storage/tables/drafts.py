"""Drafts: plans that were asked for and that nobody has accepted or discarded yet.

`document` is the plan once it is there, `failed` says why there will be none, `day_document` is
the day that it is worked out for.
"""

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, sized, table_of


class Draft(Row, table=True):
    """The draft of a production; `key` tells it from those before it."""

    __tablename__ = "drafts"
    __table_args__ = (
        UniqueConstraint("production_id"),
        UniqueConstraint("key"),
        *sized("by", "key", high=200),
    )
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE")
    key: str
    by: str
    asked_at: str
    day_document: str
    document: str | None = None
    failed: str | None = None


DRAFTS = table_of(Draft)
