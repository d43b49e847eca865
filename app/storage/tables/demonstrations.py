"""Demonstrations: one dish or technique that is shown, or a component that others share."""

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, sized, table_of, whole


class Demonstration(Row, table=True):
    """The head of a demonstration; its stages and beats have tables of their own."""

    __tablename__ = "demonstrations"
    __table_args__ = (
        UniqueConstraint("production_id", "key"),
        *sized("key", high=48),
        *whole("position"),
    )
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE")
    position: int
    key: str
    name: str | None
    title: str
    code: str | None


DEMONSTRATIONS = table_of(Demonstration)
