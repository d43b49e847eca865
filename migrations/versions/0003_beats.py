"""Beats, with what they need and what they leave.

Needs and leavings are edited field by field, so each is a row with a position.
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the tables."""
    _beats()
    _needs()
    _leavings()


def _beats() -> None:
    op.create_table(
        "beats",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("demonstration_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("starts_s", sa.Integer(), nullable=False),
        sa.Column("lasts_s", sa.Integer(), nullable=False),
        sa.Column("kinds", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("ingredients", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("tools", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("dressing", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.CheckConstraint("lasts_s BETWEEN 1 AND 1000000", name=op.f("ck_beats_lasts_s")),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 48", name=op.f("ck_beats_key")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_beats_position")),
        sa.CheckConstraint("starts_s BETWEEN 0 AND 1000000", name=op.f("ck_beats_starts_s")),
        sa.ForeignKeyConstraint(
            ["demonstration_id"],
            ["demonstrations.id"],
            name=op.f("fk_beats_demonstration_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_beats")),
        sa.UniqueConstraint("demonstration_id", "key", name=op.f("uq_beats_demonstration_id_key")),
    )


def _needs() -> None:
    op.create_table(
        "needs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("beat_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("backups", sa.Integer(), nullable=False),
        sa.Column("untouched", sa.Boolean(), nullable=False),
        sa.Column("tasting", sa.Boolean(), nullable=False),
        sa.Column("ready_margin_min", sa.Integer(), nullable=True),
        sa.Column("per_station", sa.Boolean(), nullable=False),
        sa.CheckConstraint("backups BETWEEN 0 AND 1000000", name=op.f("ck_needs_backups")),
        sa.CheckConstraint("count BETWEEN 1 AND 1000000", name=op.f("ck_needs_count")),
        sa.CheckConstraint("per_station IN (true, false)", name=op.f("ck_needs_per_station")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_needs_position")),
        sa.CheckConstraint(
            "ready_margin_min BETWEEN 0 AND 1000000", name=op.f("ck_needs_ready_margin_min")
        ),
        sa.CheckConstraint("tasting IN (true, false)", name=op.f("ck_needs_tasting")),
        sa.CheckConstraint("untouched IN (true, false)", name=op.f("ck_needs_untouched")),
        sa.ForeignKeyConstraint(
            ["beat_id"], ["beats.id"], name=op.f("fk_needs_beat_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_needs")),
        sa.UniqueConstraint("beat_id", "stage", name=op.f("uq_needs_beat_id_stage")),
    )


def _leavings() -> None:
    op.create_table(
        "leavings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("beat_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("per_station", sa.Boolean(), nullable=False),
        sa.CheckConstraint("count BETWEEN 1 AND 1000000", name=op.f("ck_leavings_count")),
        sa.CheckConstraint("per_station IN (true, false)", name=op.f("ck_leavings_per_station")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_leavings_position")),
        sa.ForeignKeyConstraint(
            ["beat_id"], ["beats.id"], name=op.f("fk_leavings_beat_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_leavings")),
        sa.UniqueConstraint("beat_id", "stage", name=op.f("uq_leavings_beat_id_stage")),
    )
