"""Published plans, with their batches and copies.

A plan is never changed after it was published; it keeps the day that it was made from, so that
its board can be drawn after the day has moved on.
"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Make the tables."""
    _plans()
    _batches()
    _planned_phases()
    _copies()


def _plans() -> None:
    op.create_table(
        "plans",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("status", sa.String(), nullable=False),
        sa.Column("day_fingerprint", sa.String(), nullable=False),
        sa.Column("day_document", sa.String(), nullable=False),
        sa.Column("document", sa.String(), nullable=False),
        sa.Column("published_at", sa.String(), nullable=False),
        sa.Column("published_by", sa.String(), nullable=False),
        sa.CheckConstraint(
            "status IN ('optimal', 'feasible', 'impossible')", name=op.f("ck_plans_status")
        ),
        sa.CheckConstraint(
            "length(day_fingerprint) BETWEEN 64 AND 64", name=op.f("ck_plans_day_fingerprint")
        ),
        sa.CheckConstraint("number BETWEEN 1 AND 1000000", name=op.f("ck_plans_number")),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_plans_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plans")),
        sa.UniqueConstraint("production_id", "number", name=op.f("uq_plans_production_id_number")),
    )


def _batches() -> None:
    op.create_table(
        "batches",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("plan_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("demonstration", sa.String(), nullable=False),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("way", sa.String(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("starts", sa.String(), nullable=False),
        sa.Column("ends", sa.String(), nullable=False),
        sa.Column("consumes", sa.JSON(none_as_null=True), nullable=False),
        sa.CheckConstraint("count BETWEEN 1 AND 1000000", name=op.f("ck_batches_count")),
        sa.CheckConstraint("length(ends) BETWEEN 16 AND 22", name=op.f("ck_batches_ends")),
        sa.CheckConstraint("length(starts) BETWEEN 16 AND 22", name=op.f("ck_batches_starts")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_batches_position")),
        sa.ForeignKeyConstraint(
            ["plan_id"], ["plans.id"], name=op.f("fk_batches_plan_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_batches")),
        sa.UniqueConstraint("plan_id", "key", name=op.f("uq_batches_plan_id_key")),
    )


def _planned_phases() -> None:
    op.create_table(
        "planned_phases",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("batch_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("starts", sa.String(), nullable=False),
        sa.Column("ends", sa.String(), nullable=False),
        sa.Column("crew", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("equipment", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("places", sa.JSON(none_as_null=True), nullable=True),
        sa.CheckConstraint("length(ends) BETWEEN 16 AND 22", name=op.f("ck_planned_phases_ends")),
        sa.CheckConstraint(
            "length(starts) BETWEEN 16 AND 22", name=op.f("ck_planned_phases_starts")
        ),
        sa.CheckConstraint(
            "position BETWEEN 0 AND 1000000", name=op.f("ck_planned_phases_position")
        ),
        sa.ForeignKeyConstraint(
            ["batch_id"],
            ["batches.id"],
            name=op.f("fk_planned_phases_batch_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_planned_phases")),
        sa.UniqueConstraint(
            "batch_id", "position", name=op.f("uq_planned_phases_batch_id_position")
        ),
    )


def _copies() -> None:
    op.create_table(
        "copies",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("plan_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("tag", sa.String(), nullable=False),
        sa.Column("demonstration", sa.String(), nullable=False),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("staged_at", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("batch", sa.String(), nullable=True),
        sa.Column("made_by", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("taken_by", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("places", sa.JSON(none_as_null=True), nullable=False),
        sa.CheckConstraint(
            "role IN ('camera', 'feeds', 'backup', 'spare')", name=op.f("ck_copies_role")
        ),
        sa.CheckConstraint("length(staged_at) BETWEEN 16 AND 22", name=op.f("ck_copies_staged_at")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_copies_position")),
        sa.ForeignKeyConstraint(
            ["plan_id"], ["plans.id"], name=op.f("fk_copies_plan_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_copies")),
        sa.UniqueConstraint("plan_id", "key", name=op.f("uq_copies_plan_id_key")),
    )
    op.create_index(op.f("ix_copies_tag"), "copies", ["tag"], unique=False)
