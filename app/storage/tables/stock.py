"""Stock: copies that exist before the prep starts."""

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, sized, table_of, whole


class Stock(Row, table=True):
    """So many copies of a stage, staged at one time."""

    __tablename__ = "stock"
    __table_args__ = (
        UniqueConstraint("production_id", "key"),
        *sized("key", high=48),
        *sized("staged", low=16, high=22),
        *whole("position"),
        *whole("count", low=1),
    )
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE")
    position: int
    key: str
    name: str | None
    demonstration: str
    stage: str
    count: int
    staged: str


STOCK = table_of(Stock)
