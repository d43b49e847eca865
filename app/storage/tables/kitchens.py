"""Kitchens: kept once, used by many productions; shifts and closed spans are a production's."""

from typing import Any

from sqlalchemy import CheckConstraint, UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, document, one_of, sized, table_of, whole

ZONES = ("ambient", "chill", "frozen", "hot", "proof")


class Kitchen(Row, table=True):
    """A place with its equipment, people and shelves."""

    __tablename__ = "kitchens"
    id: int | None = Field(default=None, primary_key=True)
    name: str


class Equipment(Row, table=True):
    """One item of a kitchen; without `change_min` it knows no settings."""

    __tablename__ = "equipment"
    __table_args__ = (
        UniqueConstraint("kitchen_id", "key"),
        *sized("key", high=48),
        *whole("units", low=1),
        *whole("position", "change_min", "cold_after_min"),
        CheckConstraint("cold_after_min IS NULL OR change_min IS NOT NULL", name="settings"),
    )
    id: int | None = Field(default=None, primary_key=True)
    kitchen_id: int = Field(foreign_key="kitchens.id", ondelete="CASCADE")
    position: int
    key: str
    name: str | None
    kind: str
    units: int
    change_min: int | None
    cold_after_min: int | None


class Cook(Row, table=True):
    """One of a kitchen's people."""

    __tablename__ = "cooks"
    __table_args__ = (
        UniqueConstraint("kitchen_id", "key"),
        *sized("key", high=48),
        *whole("position"),
    )
    id: int | None = Field(default=None, primary_key=True)
    kitchen_id: int = Field(foreign_key="kitchens.id", ondelete="CASCADE")
    position: int
    key: str
    name: str | None
    skills: list[Any] = Field(sa_column=document())


class Shelf(Row, table=True):
    """One shelf unit of a kitchen; `levels` are the slots of each level from the top."""

    __tablename__ = "shelves"
    __table_args__ = (
        UniqueConstraint("kitchen_id", "key"),
        *sized("key", high=48),
        *whole("position"),
        one_of("zone", *ZONES),
    )
    id: int | None = Field(default=None, primary_key=True)
    kitchen_id: int = Field(foreign_key="kitchens.id", ondelete="CASCADE")
    position: int
    key: str
    name: str | None
    zone: str
    levels: list[Any] = Field(sa_column=document())


class Shift(Row, table=True):
    """A span in which a cook works for a production."""

    __tablename__ = "shifts"
    __table_args__ = (*sized("starts", "ends", low=16, high=22), *whole("position"))
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE", index=True)
    cook_id: int = Field(foreign_key="cooks.id", ondelete="CASCADE", index=True)
    position: int
    starts: str
    ends: str


class Closure(Row, table=True):
    """A span in which a production may not use an item."""

    __tablename__ = "closures"
    __table_args__ = (*sized("starts", "ends", low=16, high=22), *whole("position"))
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE", index=True)
    equipment_id: int = Field(foreign_key="equipment.id", ondelete="CASCADE", index=True)
    position: int
    starts: str
    ends: str


KITCHENS = table_of(Kitchen)
EQUIPMENT = table_of(Equipment)
COOKS = table_of(Cook)
SHELVES = table_of(Shelf)
SHIFTS = table_of(Shift)
CLOSURES = table_of(Closure)
