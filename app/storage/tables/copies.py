"""Copies of a published plan."""

from typing import Any

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, document, one_of, sized, table_of, whole


class Copy(Row, table=True):
    """One staged item; `batch` is the id of the batch that makes it, if one does."""

    __tablename__ = "copies"
    __table_args__ = (
        UniqueConstraint("plan_id", "key"),
        *whole("position"),
        *sized("staged_at", low=16, high=22),
        one_of("role", "camera", "feeds", "backup", "spare"),
    )
    id: int | None = Field(default=None, primary_key=True)
    plan_id: int = Field(foreign_key="plans.id", ondelete="CASCADE")
    position: int
    key: str
    tag: str = Field(index=True)
    demonstration: str
    stage: str
    staged_at: str
    role: str
    batch: str | None
    made_by: dict[str, Any] = Field(sa_column=document())
    taken_by: list[Any] = Field(sa_column=document())
    places: list[Any] = Field(sa_column=document())


COPIES = table_of(Copy)
