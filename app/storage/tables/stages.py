"""Stages: the states in which a copy can wait, and what one set of inputs of them takes."""

from typing import Any

from sqlalchemy import CheckConstraint, UniqueConstraint
from sqlmodel import Field

from app.storage.tables.kitchens import ZONES
from app.storage.tables.row import Row, document, one_of, sized, table_of, truth, whole


class Stage(Row, table=True):
    """A stage of a demonstration, with what a kitchen must know of the food."""

    __tablename__ = "stages"
    __table_args__ = (
        UniqueConstraint("demonstration_id", "key"),
        *sized("key", high=48),
        one_of("zone", *ZONES),
        *whole("yields", "copies_per_slot", "slots", low=1),
        *whole("position", "keeps_min", "cost", "safety_min"),
        *whole("cook_to_c", low=-1000),
        *truth("raw_animal", "ready_to_eat", "needs_temperature_control"),
        CheckConstraint("loss >= 0 AND loss < 1", name="loss"),
        CheckConstraint("slots IS NULL OR copies_per_slot IS NULL", name="room"),
    )
    id: int | None = Field(default=None, primary_key=True)
    demonstration_id: int = Field(foreign_key="demonstrations.id", ondelete="CASCADE")
    position: int
    key: str
    name: str | None
    code: str | None
    yields: int
    zone: str
    keeps_min: int
    copies_per_slot: int | None
    slots: int | None
    cost: float
    loss: float
    tools: list[Any] = Field(sa_column=document())
    container: str
    look: str
    caution: str
    photo: str
    raw_animal: bool
    ready_to_eat: bool
    needs_temperature_control: bool
    cook_to_c: int | None
    safety_min: int | None


class Input(Row, table=True):
    """One entry of `from`, of a stage or of a way with inputs of its own.

    `demonstration` and `stage` are the day's own ids, so a draft may name what is not there yet.
    """

    __tablename__ = "inputs"
    __table_args__ = (
        CheckConstraint("(stage_id IS NULL) <> (way_id IS NULL)", name="owner"),
        *whole("count", low=1),
        *whole("position"),
    )
    id: int | None = Field(default=None, primary_key=True)
    stage_id: int | None = Field(foreign_key="stages.id", ondelete="CASCADE", index=True)
    way_id: int | None = Field(foreign_key="ways.id", ondelete="CASCADE", index=True)
    position: int
    demonstration: str | None
    stage: str
    count: int


STAGES = table_of(Stage)
INPUTS = table_of(Input)
