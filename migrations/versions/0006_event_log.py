"""The event log of the day.

Only appended to; the key `once` makes a repeated sending the same event.
"""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    """Make the tables."""
    _events()
    _echoes()


def _events() -> None:
    op.create_table(
        "events",
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("plan_number", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("once", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("event", sa.String(), nullable=False),
        sa.Column("says", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("stored_at", sa.String(), nullable=False),
        sa.CheckConstraint("length(at) BETWEEN 16 AND 22", name=op.f("ck_events_at")),
        sa.CheckConstraint("length(by) BETWEEN 1 AND 200", name=op.f("ck_events_by")),
        sa.CheckConstraint("length(event) BETWEEN 1 AND 200", name=op.f("ck_events_event")),
        sa.CheckConstraint("length(once) BETWEEN 1 AND 200", name=op.f("ck_events_once")),
        sa.CheckConstraint("n BETWEEN 1 AND 9007199254740992", name=op.f("ck_events_n")),
        sa.CheckConstraint("plan_number BETWEEN 1 AND 1000000", name=op.f("ck_events_plan_number")),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_events_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("production_id", "n", name=op.f("pk_events")),
        sa.UniqueConstraint("production_id", "once", name=op.f("uq_events_production_id_once")),
    )


def _echoes() -> None:
    op.create_table(
        "echoes",
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("once", sa.String(), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.CheckConstraint("length(once) BETWEEN 1 AND 200", name=op.f("ck_echoes_once")),
        sa.CheckConstraint("n BETWEEN 1 AND 9007199254740992", name=op.f("ck_echoes_n")),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_echoes_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("production_id", "once", name=op.f("pk_echoes")),
    )
