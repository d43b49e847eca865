"""What was typed beside what was understood, and numbers of rows that are never given twice.

SQLite gives the number of the last row again once that row is deleted; a form that is still open
would then change another row than it shows, and an undo could not bring the first one back.
"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"

EDITED = (
    "demonstrations",
    "stages",
    "ways",
    "inputs",
    "phases",
    "phase_equipment",
    "beats",
    "needs",
    "leavings",
    "runs",
    "stock",
    "equipment",
    "cooks",
    "shelves",
    "shifts",
    "closures",
)


def upgrade() -> None:
    """Make both tables, and count on from the largest number that is there."""
    op.create_table(
        "typings",
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("field", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.CheckConstraint("length(place) BETWEEN 1 AND 100", name=op.f("ck_typings_place")),
        sa.CheckConstraint("length(field) BETWEEN 1 AND 100", name=op.f("ck_typings_field")),
        sa.CheckConstraint("length(text) BETWEEN 0 AND 10000", name=op.f("ck_typings_text")),
        sa.PrimaryKeyConstraint("place", "field", name=op.f("pk_typings")),
    )
    op.create_table(
        "numbers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.CheckConstraint("last BETWEEN 0 AND 9007199254740992", name=op.f("ck_numbers_last")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_numbers")),
    )
    largest = " UNION ALL ".join(f"SELECT max(id) AS id FROM {table}" for table in EDITED)
    op.execute(f"INSERT INTO numbers (id, last) SELECT 1, coalesce(max(id), 0) FROM ({largest})")
