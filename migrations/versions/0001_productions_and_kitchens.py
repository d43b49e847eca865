"""Productions with their house rules, and the kitchens that they use.

A kitchen is kept once and used by many productions; shifts and closed spans are a production's.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    _kitchens()
    _productions()
    _equipment()
    _cooks()
    _shelves()
    _shifts()
    _closures()


def _kitchens() -> None:
    op.create_table(
        "kitchens",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kitchens")),
    )


def _productions() -> None:
    op.create_table(
        "productions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kitchen_id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("timezone", sa.String(), nullable=False),
        sa.Column("prep_from", sa.String(), nullable=False),
        sa.Column("ready_margin_min", sa.Integer(), nullable=False),
        sa.Column("return_min", sa.Integer(), nullable=False),
        sa.Column("step_slack_min", sa.Integer(), nullable=False),
        sa.Column("confidence", sa.Float(), nullable=False),
        sa.Column("reuse", sa.Boolean(), nullable=False),
        sa.Column("prefer", sa.String(), nullable=False),
        sa.Column("spread", sa.Float(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("removed_at", sa.String(), nullable=True),
        sa.CheckConstraint("kind IN ('broadcast', 'class')", name=op.f("ck_productions_kind")),
        sa.CheckConstraint("prefer IN ('hands', 'fresh')", name=op.f("ck_productions_prefer")),
        sa.CheckConstraint(
            "confidence > 0 AND confidence < 1", name=op.f("ck_productions_confidence")
        ),
        sa.CheckConstraint(
            "length(prep_from) BETWEEN 16 AND 22", name=op.f("ck_productions_prep_from")
        ),
        sa.CheckConstraint(
            "ready_margin_min BETWEEN 0 AND 1000000", name=op.f("ck_productions_ready_margin_min")
        ),
        sa.CheckConstraint(
            "return_min BETWEEN 0 AND 1000000", name=op.f("ck_productions_return_min")
        ),
        sa.CheckConstraint("reuse IN (true, false)", name=op.f("ck_productions_reuse")),
        sa.CheckConstraint("spread BETWEEN 0 AND 1000000", name=op.f("ck_productions_spread")),
        sa.CheckConstraint(
            "step_slack_min BETWEEN 0 AND 1000000", name=op.f("ck_productions_step_slack_min")
        ),
        sa.ForeignKeyConstraint(
            ["kitchen_id"], ["kitchens.id"], name=op.f("fk_productions_kitchen_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_productions")),
    )
    op.create_index(op.f("ix_productions_kitchen_id"), "productions", ["kitchen_id"], unique=False)


def _equipment() -> None:
    op.create_table(
        "equipment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kitchen_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("units", sa.Integer(), nullable=False),
        sa.Column("change_min", sa.Integer(), nullable=True),
        sa.Column("cold_after_min", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "change_min BETWEEN 0 AND 1000000", name=op.f("ck_equipment_change_min")
        ),
        sa.CheckConstraint(
            "cold_after_min BETWEEN 0 AND 1000000", name=op.f("ck_equipment_cold_after_min")
        ),
        sa.CheckConstraint(
            "cold_after_min IS NULL OR change_min IS NOT NULL", name=op.f("ck_equipment_settings")
        ),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 48", name=op.f("ck_equipment_key")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_equipment_position")),
        sa.CheckConstraint("units BETWEEN 1 AND 1000000", name=op.f("ck_equipment_units")),
        sa.ForeignKeyConstraint(
            ["kitchen_id"],
            ["kitchens.id"],
            name=op.f("fk_equipment_kitchen_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_equipment")),
        sa.UniqueConstraint("kitchen_id", "key", name=op.f("uq_equipment_kitchen_id_key")),
    )


def _cooks() -> None:
    op.create_table(
        "cooks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kitchen_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("skills", sa.JSON(none_as_null=True), nullable=False),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 48", name=op.f("ck_cooks_key")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_cooks_position")),
        sa.ForeignKeyConstraint(
            ["kitchen_id"], ["kitchens.id"], name=op.f("fk_cooks_kitchen_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cooks")),
        sa.UniqueConstraint("kitchen_id", "key", name=op.f("uq_cooks_kitchen_id_key")),
    )


def _shelves() -> None:
    op.create_table(
        "shelves",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kitchen_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("levels", sa.JSON(none_as_null=True), nullable=False),
        sa.CheckConstraint(
            "zone IN ('ambient', 'chill', 'frozen', 'hot', 'proof')", name=op.f("ck_shelves_zone")
        ),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 48", name=op.f("ck_shelves_key")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_shelves_position")),
        sa.ForeignKeyConstraint(
            ["kitchen_id"], ["kitchens.id"], name=op.f("fk_shelves_kitchen_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shelves")),
        sa.UniqueConstraint("kitchen_id", "key", name=op.f("uq_shelves_kitchen_id_key")),
    )


def _shifts() -> None:
    op.create_table(
        "shifts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("starts", sa.String(), nullable=False),
        sa.Column("ends", sa.String(), nullable=False),
        sa.CheckConstraint("length(ends) BETWEEN 16 AND 22", name=op.f("ck_shifts_ends")),
        sa.CheckConstraint("length(starts) BETWEEN 16 AND 22", name=op.f("ck_shifts_starts")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_shifts_position")),
        sa.ForeignKeyConstraint(
            ["cook_id"], ["cooks.id"], name=op.f("fk_shifts_cook_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_shifts_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shifts")),
    )
    op.create_index(op.f("ix_shifts_cook_id"), "shifts", ["cook_id"], unique=False)
    op.create_index(op.f("ix_shifts_production_id"), "shifts", ["production_id"], unique=False)


def _closures() -> None:
    op.create_table(
        "closures",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("equipment_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("starts", sa.String(), nullable=False),
        sa.Column("ends", sa.String(), nullable=False),
        sa.CheckConstraint("length(ends) BETWEEN 16 AND 22", name=op.f("ck_closures_ends")),
        sa.CheckConstraint("length(starts) BETWEEN 16 AND 22", name=op.f("ck_closures_starts")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_closures_position")),
        sa.ForeignKeyConstraint(
            ["equipment_id"],
            ["equipment.id"],
            name=op.f("fk_closures_equipment_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_closures_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_closures")),
    )
    op.create_index(op.f("ix_closures_equipment_id"), "closures", ["equipment_id"], unique=False)
    op.create_index(op.f("ix_closures_production_id"), "closures", ["production_id"], unique=False)
