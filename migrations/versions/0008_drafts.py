"""Plans that nobody has accepted or discarded yet.

They lived in memory only, and a finished one that waited for an answer was gone when the server
ended. `document` stays empty while the planner works.
"""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "drafts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("asked_at", sa.String(), nullable=False),
        sa.Column("day_document", sa.String(), nullable=False),
        sa.Column("document", sa.String(), nullable=True),
        sa.Column("failed", sa.String(), nullable=True),
        sa.CheckConstraint("length(by) BETWEEN 1 AND 200", name=op.f("ck_drafts_by")),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 200", name=op.f("ck_drafts_key")),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_drafts_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_drafts")),
        sa.UniqueConstraint("key", name=op.f("uq_drafts_key")),
        sa.UniqueConstraint("production_id", name=op.f("uq_drafts_production_id")),
    )
