"""Productions: the top of a day and its house rules."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, one_of, sized, table_of, truth, whole


class Production(Row, table=True):
    """One rundown with its prep days. Removed ones stay, so that a removal can be undone."""

    __tablename__ = "productions"
    __table_args__ = (
        one_of("kind", "broadcast", "class"),
        one_of("prefer", "hands", "fresh"),
        *sized("prep_from", low=16, high=22),
        *whole("ready_margin_min", "return_min", "step_slack_min", "spread"),
        CheckConstraint("confidence > 0 AND confidence < 1", name="confidence"),
        *truth("reuse"),
    )
    id: int | None = Field(default=None, primary_key=True)
    kitchen_id: int = Field(foreign_key="kitchens.id", index=True)
    title: str
    kind: str
    timezone: str
    prep_from: str
    ready_margin_min: int
    return_min: int
    step_slack_min: int
    confidence: float
    reuse: bool
    prefer: str
    spread: float
    made_at: str
    removed_at: str | None = None


PRODUCTIONS = table_of(Production)
