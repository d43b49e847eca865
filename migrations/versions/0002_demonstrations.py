"""Demonstrations, with their stages, ways and phases.

Whatever is edited field by field has a row and a position of its own, so that two people can
change different fields of one thing.
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the tables."""
    _demonstrations()
    _stages()
    _ways()
    _inputs()
    _phases()
    _phase_equipment()


def _demonstrations() -> None:
    op.create_table(
        "demonstrations",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=True),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 48", name=op.f("ck_demonstrations_key")),
        sa.CheckConstraint(
            "position BETWEEN 0 AND 1000000", name=op.f("ck_demonstrations_position")
        ),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_demonstrations_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_demonstrations")),
        sa.UniqueConstraint(
            "production_id", "key", name=op.f("uq_demonstrations_production_id_key")
        ),
    )


def _stages() -> None:
    op.create_table(
        "stages",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("demonstration_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("code", sa.String(), nullable=True),
        sa.Column("yields", sa.Integer(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("keeps_min", sa.Integer(), nullable=False),
        sa.Column("copies_per_slot", sa.Integer(), nullable=True),
        sa.Column("slots", sa.Integer(), nullable=True),
        sa.Column("cost", sa.Float(), nullable=False),
        sa.Column("loss", sa.Float(), nullable=False),
        sa.Column("ingredients", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("tools", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("container", sa.String(), nullable=False),
        sa.Column("look", sa.String(), nullable=False),
        sa.Column("caution", sa.String(), nullable=False),
        sa.Column("photo", sa.String(), nullable=False),
        sa.Column("raw_animal", sa.Boolean(), nullable=False),
        sa.Column("ready_to_eat", sa.Boolean(), nullable=False),
        sa.Column("needs_temperature_control", sa.Boolean(), nullable=False),
        sa.Column("cook_to_c", sa.Integer(), nullable=True),
        sa.Column("safety_min", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "zone IN ('ambient', 'chill', 'frozen', 'hot', 'proof')", name=op.f("ck_stages_zone")
        ),
        sa.CheckConstraint("cook_to_c BETWEEN -1000 AND 1000000", name=op.f("ck_stages_cook_to_c")),
        sa.CheckConstraint(
            "copies_per_slot BETWEEN 1 AND 1000000", name=op.f("ck_stages_copies_per_slot")
        ),
        sa.CheckConstraint("cost BETWEEN 0 AND 1000000", name=op.f("ck_stages_cost")),
        sa.CheckConstraint("keeps_min BETWEEN 0 AND 1000000", name=op.f("ck_stages_keeps_min")),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 48", name=op.f("ck_stages_key")),
        sa.CheckConstraint("loss >= 0 AND loss < 1", name=op.f("ck_stages_loss")),
        sa.CheckConstraint(
            "needs_temperature_control IN (true, false)",
            name=op.f("ck_stages_needs_temperature_control"),
        ),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_stages_position")),
        sa.CheckConstraint("raw_animal IN (true, false)", name=op.f("ck_stages_raw_animal")),
        sa.CheckConstraint("ready_to_eat IN (true, false)", name=op.f("ck_stages_ready_to_eat")),
        sa.CheckConstraint("safety_min BETWEEN 0 AND 1000000", name=op.f("ck_stages_safety_min")),
        sa.CheckConstraint("slots BETWEEN 1 AND 1000000", name=op.f("ck_stages_slots")),
        sa.CheckConstraint("slots IS NULL OR copies_per_slot IS NULL", name=op.f("ck_stages_room")),
        sa.CheckConstraint("yields BETWEEN 1 AND 1000000", name=op.f("ck_stages_yields")),
        sa.ForeignKeyConstraint(
            ["demonstration_id"],
            ["demonstrations.id"],
            name=op.f("fk_stages_demonstration_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stages")),
        sa.UniqueConstraint("demonstration_id", "key", name=op.f("uq_stages_demonstration_id_key")),
    )


def _ways() -> None:
    op.create_table(
        "ways",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("stage_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("batch_max", sa.Integer(), nullable=False),
        sa.Column("own_inputs", sa.Boolean(), nullable=False),
        sa.Column("yields", sa.Integer(), nullable=True),
        sa.Column("cost", sa.Float(), nullable=True),
        sa.Column("loss", sa.Float(), nullable=True),
        sa.CheckConstraint("batch_max BETWEEN 1 AND 1000000", name=op.f("ck_ways_batch_max")),
        sa.CheckConstraint("cost BETWEEN 0 AND 1000000", name=op.f("ck_ways_cost")),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 48", name=op.f("ck_ways_key")),
        sa.CheckConstraint("loss >= 0 AND loss < 1", name=op.f("ck_ways_loss")),
        sa.CheckConstraint("own_inputs IN (true, false)", name=op.f("ck_ways_own_inputs")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_ways_position")),
        sa.CheckConstraint("yields BETWEEN 1 AND 1000000", name=op.f("ck_ways_yields")),
        sa.ForeignKeyConstraint(
            ["stage_id"], ["stages.id"], name=op.f("fk_ways_stage_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_ways")),
        sa.UniqueConstraint("stage_id", "key", name=op.f("uq_ways_stage_id_key")),
    )


def _inputs() -> None:
    op.create_table(
        "inputs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("stage_id", sa.Integer(), nullable=True),
        sa.Column("way_id", sa.Integer(), nullable=True),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("demonstration", sa.String(), nullable=True),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.CheckConstraint("(stage_id IS NULL) <> (way_id IS NULL)", name=op.f("ck_inputs_owner")),
        sa.CheckConstraint("count BETWEEN 1 AND 1000000", name=op.f("ck_inputs_count")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_inputs_position")),
        sa.ForeignKeyConstraint(
            ["stage_id"], ["stages.id"], name=op.f("fk_inputs_stage_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["way_id"], ["ways.id"], name=op.f("fk_inputs_way_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_inputs")),
    )
    op.create_index(op.f("ix_inputs_stage_id"), "inputs", ["stage_id"], unique=False)
    op.create_index(op.f("ix_inputs_way_id"), "inputs", ["way_id"], unique=False)


def _phases() -> None:
    op.create_table(
        "phases",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("way_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("lasts_min", sa.Integer(), nullable=False),
        sa.Column("per_copy_min", sa.Integer(), nullable=False),
        sa.Column("per_copy_s", sa.Integer(), nullable=False),
        sa.Column("does", sa.String(), nullable=False),
        sa.Column("hands", sa.Integer(), nullable=False),
        sa.Column("skill", sa.String(), nullable=True),
        sa.Column("zone", sa.String(), nullable=True),
        sa.CheckConstraint(
            "zone IN ('ambient', 'chill', 'frozen', 'hot', 'proof')", name=op.f("ck_phases_zone")
        ),
        sa.CheckConstraint("hands BETWEEN 0 AND 1000000", name=op.f("ck_phases_hands")),
        sa.CheckConstraint("lasts_min BETWEEN 0 AND 1000000", name=op.f("ck_phases_lasts_min")),
        sa.CheckConstraint(
            "per_copy_min BETWEEN 0 AND 1000000", name=op.f("ck_phases_per_copy_min")
        ),
        sa.CheckConstraint("per_copy_s BETWEEN 0 AND 1000000", name=op.f("ck_phases_per_copy_s")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_phases_position")),
        sa.ForeignKeyConstraint(
            ["way_id"], ["ways.id"], name=op.f("fk_phases_way_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_phases")),
    )
    op.create_index(op.f("ix_phases_way_id"), "phases", ["way_id"], unique=False)


def _phase_equipment() -> None:
    op.create_table(
        "phase_equipment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("phase_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("per_batch", sa.Integer(), nullable=False),
        sa.Column("copies_per_unit", sa.Integer(), nullable=True),
        sa.Column("setting", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "copies_per_unit BETWEEN 1 AND 1000000", name=op.f("ck_phase_equipment_copies_per_unit")
        ),
        sa.CheckConstraint(
            "per_batch BETWEEN 0 AND 1000000", name=op.f("ck_phase_equipment_per_batch")
        ),
        sa.CheckConstraint(
            "position BETWEEN 0 AND 1000000", name=op.f("ck_phase_equipment_position")
        ),
        sa.CheckConstraint(
            "setting BETWEEN -1000 AND 1000000", name=op.f("ck_phase_equipment_setting")
        ),
        sa.ForeignKeyConstraint(
            ["phase_id"],
            ["phases.id"],
            name=op.f("fk_phase_equipment_phase_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_phase_equipment")),
        sa.UniqueConstraint("phase_id", "kind", name=op.f("uq_phase_equipment_phase_id_kind")),
    )
