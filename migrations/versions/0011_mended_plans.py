"""Plans that mend one before them on the day.

What was told is told of the whole line of plans, from the one that was worked out fresh (`root`)
to the one that holds; `told` is the last event that a mended plan knows of.
"""

from alembic import op

revision = "0011"
down_revision = "0010"


def upgrade() -> None:
    """Add the columns; plans of before mend none."""
    op.execute(
        "ALTER TABLE plans ADD COLUMN root INTEGER "
        "CONSTRAINT ck_plans_root CHECK (root BETWEEN 1 AND 1000000)"
    )
    op.execute(
        "ALTER TABLE plans ADD COLUMN told INTEGER "
        "CONSTRAINT ck_plans_told CHECK (told BETWEEN 0 AND 9007199254740992)"
    )
