"""Decisions by name: that somebody may be served what they avoid after all, or will not be.

`key` names what was decided on: person, beat, copy and word; if any of them changes, the decision
does not hold for what is new.
"""

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, sized, table_of


class Decision(Row, table=True):
    """One decision by one person; what was taken back is gone, and the record of changes knows."""

    __tablename__ = "decisions"
    __table_args__ = (
        UniqueConstraint("production_id", "key"),
        *sized("key", "by", high=200),
        *sized("words", "decided", high=1000),
    )
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE")
    key: str
    words: str
    decided: str
    by: str
    at: str


DECISIONS = table_of(Decision)
