"""Phases: the unbroken spans of a way, and the equipment that each holds."""

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.kitchens import ZONES
from app.storage.tables.row import Row, one_of, table_of, whole


class Phase(Row, table=True):
    """One span of a way, hands-on or unattended."""

    __tablename__ = "phases"
    __table_args__ = (
        *whole("position", "lasts_min", "per_copy_min", "per_copy_s", "hands"),
        one_of("zone", *ZONES),
    )
    id: int | None = Field(default=None, primary_key=True)
    way_id: int = Field(foreign_key="ways.id", ondelete="CASCADE", index=True)
    position: int
    lasts_min: int
    per_copy_min: int
    per_copy_s: int
    does: str
    hands: int
    skill: str | None
    zone: str | None


class PhaseEquipment(Row, table=True):
    """Units of one item of a kind that a phase holds."""

    __tablename__ = "phase_equipment"
    __table_args__ = (
        UniqueConstraint("phase_id", "kind"),
        *whole("position", "per_batch"),
        *whole("copies_per_unit", low=1),
        *whole("setting", low=-1000),
    )
    id: int | None = Field(default=None, primary_key=True)
    phase_id: int = Field(foreign_key="phases.id", ondelete="CASCADE")
    position: int
    kind: str
    per_batch: int
    copies_per_unit: int | None
    setting: int | None


PHASES = table_of(Phase)
PHASE_EQUIPMENT = table_of(PhaseEquipment)
