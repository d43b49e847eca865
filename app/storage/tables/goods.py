"""What the house knows of what it buys, and its record of that; no production owns it.

Numbers are kept as the decimal texts that somebody typed, so that none of them loses a digit.
"""

from typing import Any

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, document, sized, table_of, whole


class Good(Row, table=True):
    """One thing that is bought: its packs, their prices, its place, what is held of it."""

    __tablename__ = "goods"
    __table_args__ = (
        UniqueConstraint("key"),
        *sized("key", "name", high=200),
        *sized("pack_amount", "price", "yield_percent", "held_amount", low=0, high=20),
        *sized("pack_2_amount", "price_2", "pack_3_amount", "price_3", low=0, high=20),
        *sized("pack_4_amount", "price_4", "measure_amount", "measure_grams", low=0, high=20),
        *sized("pack_unit", "pack_2_unit", "pack_3_unit", "pack_4_unit", low=0, high=40),
        *sized("held_unit", "measure_unit", low=0, high=40),
        *sized("place", low=0, high=80),
    )
    id: int | None = Field(default=None, primary_key=True)
    key: str
    name: str
    pack_amount: str
    pack_unit: str
    price: str
    pack_2_amount: str
    pack_2_unit: str
    price_2: str
    pack_3_amount: str
    pack_3_unit: str
    price_3: str
    pack_4_amount: str
    pack_4_unit: str
    price_4: str
    place: str
    yield_percent: str
    held_amount: str
    held_unit: str
    measure_amount: str
    measure_unit: str
    measure_grams: str


class Choice(Row, table=True):
    """One thing that the house has chosen once for all productions."""

    __tablename__ = "choices"
    __table_args__ = (*sized("key", high=80), *sized("value", low=0, high=200))
    key: str = Field(primary_key=True)
    value: str


class HouseChange(Row, table=True):
    """One change by one person; see `changes.py`, of which this is the house's own."""

    __tablename__ = "house_changes"
    __table_args__ = (
        UniqueConstraint("once"),
        *whole("n", low=1),
        *sized("by", "what", "once", high=200),
    )
    n: int = Field(primary_key=True)
    at: str
    by: str
    what: str
    words: str
    before: dict[str, Any] = Field(sa_column=document())
    after: dict[str, Any] = Field(sa_column=document())
    once: str
    undoes: int | None = None


GOODS = table_of(Good)
CHOICES = table_of(Choice)
HOUSE_CHANGES = table_of(HouseChange)
