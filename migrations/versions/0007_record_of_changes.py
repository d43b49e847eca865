"""The record of changes: who, when, what, before, after.

Undo, history and merging read it; the key `once` answers a repeated request.
"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Make the tables."""
    _changes()


def _changes() -> None:
    op.create_table(
        "changes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("before", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("after", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("once", sa.String(), nullable=False),
        sa.Column("outcome", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("undoes", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(by) BETWEEN 1 AND 200", name=op.f("ck_changes_by")),
        sa.CheckConstraint("length(once) BETWEEN 1 AND 200", name=op.f("ck_changes_once")),
        sa.CheckConstraint("length(what) BETWEEN 1 AND 200", name=op.f("ck_changes_what")),
        sa.CheckConstraint("n BETWEEN 1 AND 1000000", name=op.f("ck_changes_n")),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_changes_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_changes")),
        sa.UniqueConstraint("once", name=op.f("uq_changes_once")),
        sa.UniqueConstraint("production_id", "n", name=op.f("uq_changes_production_id_n")),
    )
