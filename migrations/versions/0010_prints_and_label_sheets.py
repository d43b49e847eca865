"""Prints are remembered, and the house keeps its label sheets.

Paper of an old plan could not be told from paper of the new one once it had left the printer, and
labels need to know the sheet that they are printed on.
"""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"


def upgrade() -> None:
    """Make the tables."""
    _prints()
    _label_sheets()


def _prints() -> None:
    op.create_table(
        "prints",
        sa.Column("marks", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("production_id", sa.Integer(), nullable=False),
        sa.Column("plan", sa.Integer(), nullable=False),
        sa.Column("paper", sa.String(), nullable=False),
        sa.Column("size", sa.String(), nullable=False),
        sa.Column("since", sa.Integer(), nullable=True),
        sa.Column("sheets", sa.Integer(), nullable=False),
        sa.Column("printed_at", sa.String(), nullable=False),
        sa.Column("printed_by", sa.String(), nullable=False),
        sa.CheckConstraint("length(paper) BETWEEN 1 AND 80", name=op.f("ck_prints_paper")),
        sa.CheckConstraint("length(size) BETWEEN 1 AND 80", name=op.f("ck_prints_size")),
        sa.CheckConstraint(
            "length(printed_by) BETWEEN 1 AND 200", name=op.f("ck_prints_printed_by")
        ),
        sa.CheckConstraint("plan BETWEEN 1 AND 1000000", name=op.f("ck_prints_plan")),
        sa.CheckConstraint("sheets BETWEEN 0 AND 1000000", name=op.f("ck_prints_sheets")),
        sa.CheckConstraint("since BETWEEN 0 AND 1000000", name=op.f("ck_prints_since")),
        sa.ForeignKeyConstraint(
            ["production_id"],
            ["productions.id"],
            name=op.f("fk_prints_production_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_prints")),
    )
    op.create_index(op.f("ix_prints_production_id"), "prints", ["production_id"], unique=False)


def _label_sheets() -> None:
    sides = ("sheet_wide_mm", "sheet_high_mm", "left_mm", "top_mm")
    sides += ("label_wide_mm", "label_high_mm", "gap_across_mm", "gap_down_mm")
    op.create_table(
        "label_sheets",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        *(sa.Column(side, sa.Float(), nullable=False) for side in sides),
        sa.Column("across", sa.Integer(), nullable=False),
        sa.Column("down", sa.Integer(), nullable=False),
        *(
            sa.CheckConstraint(f"{side} BETWEEN 0 AND 1000", name=op.f(f"ck_label_sheets_{side}"))
            for side in sides
        ),
        sa.CheckConstraint("across BETWEEN 1 AND 50", name=op.f("ck_label_sheets_across")),
        sa.CheckConstraint("down BETWEEN 1 AND 50", name=op.f("ck_label_sheets_down")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 60", name=op.f("ck_label_sheets_name")),
        sa.CheckConstraint("version BETWEEN 1 AND 1000000", name=op.f("ck_label_sheets_version")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_label_sheets")),
        sa.UniqueConstraint("name", name=op.f("uq_label_sheets_name")),
    )
