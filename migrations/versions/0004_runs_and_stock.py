"""Runs and stock.

They name demonstrations and stages by the ids of the day, not by rows: a draft may name what is
not there yet.
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make the tables."""
    _runs()
    _stock()


def _runs() -> None:
    op.create_table(
        "runs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("demonstration", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("starts", sa.String(), nullable=False),
        sa.Column("starts_at_first_beat", sa.Boolean(), nullable=False),
        sa.Column("beats", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("stations", sa.Integer(), nullable=False),
        sa.Column("ready_margin_min", sa.Integer(), nullable=True),
        sa.Column("dry", sa.Boolean(), nullable=False),
        sa.Column("people", sa.JSON(none_as_null=True), nullable=False),
        sa.CheckConstraint(
            "kind IN ('rehearsal', 'take', 'pickup', 'stills', 'tasting', 'sitting')",
            name=op.f("ck_runs_kind"),
        ),
        sa.CheckConstraint("dry IN (true, false)", name=op.f("ck_runs_dry")),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 48", name=op.f("ck_runs_key")),
        sa.CheckConstraint("length(starts) BETWEEN 16 AND 22", name=op.f("ck_runs_starts")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_runs_position")),
        sa.CheckConstraint(
            "ready_margin_min BETWEEN 0 AND 1000000", name=op.f("ck_runs_ready_margin_min")
        ),
        sa.CheckConstraint(
            "starts_at_first_beat IN (true, false)", name=op.f("ck_runs_starts_at_first_beat")
        ),
        sa.CheckConstraint("stations BETWEEN 1 AND 1000000", name=op.f("ck_runs_stations")),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_runs_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_runs")),
        sa.UniqueConstraint("production_id", "key", name=op.f("uq_runs_production_id_key")),
    )


def _stock() -> None:
    op.create_table(
        "stock",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("demonstration", sa.String(), nullable=False),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("staged", sa.String(), nullable=False),
        sa.CheckConstraint("count BETWEEN 1 AND 1000000", name=op.f("ck_stock_count")),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 48", name=op.f("ck_stock_key")),
        sa.CheckConstraint("length(staged) BETWEEN 16 AND 22", name=op.f("ck_stock_staged")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_stock_position")),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_stock_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock")),
        sa.UniqueConstraint("production_id", "key", name=op.f("uq_stock_production_id_key")),
    )
