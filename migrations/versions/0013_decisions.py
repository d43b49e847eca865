"""Decisions by name on what somebody would be served that they avoid.

Such a warning stands on every screen and paper until somebody decides; who and when is kept.
"""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "decisions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("decided", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.CheckConstraint("length(by) BETWEEN 1 AND 200", name=op.f("ck_decisions_by")),
        sa.CheckConstraint("length(decided) BETWEEN 1 AND 1000", name=op.f("ck_decisions_decided")),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 200", name=op.f("ck_decisions_key")),
        sa.CheckConstraint("length(words) BETWEEN 1 AND 1000", name=op.f("ck_decisions_words")),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_decisions_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_decisions")),
        sa.UniqueConstraint("production_id", "key", name=op.f("uq_decisions_production_id_key")),
    )
