"""Ingredients: what goes into a stage, or onto the set for a beat, a row each."""

from typing import Any

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, document, one_of, sized, table_of, whole


class Ingredient(Row, table=True):
    """One line of what goes in; without `amount` it is to taste."""

    __tablename__ = "ingredients"
    __table_args__ = (
        CheckConstraint("(stage_id IS NULL) <> (beat_id IS NULL)", name="owner"),
        one_of("per", "copy", "set", "batch"),
        *whole("position", "amount"),
        *sized("name", low=0),
    )
    id: int | None = Field(default=None, primary_key=True)
    stage_id: int | None = Field(foreign_key="stages.id", ondelete="CASCADE", index=True)
    beat_id: int | None = Field(foreign_key="beats.id", ondelete="CASCADE", index=True)
    position: int
    name: str
    amount: float | None
    unit: str
    per: str
    contains: list[Any] = Field(sa_column=document())
    note: str


INGREDIENTS = table_of(Ingredient)
