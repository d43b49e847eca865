"""What the house buys, holds and has chosen, and the record of it.

Packs, prices, places and the larder serve every production, so none of them owns them; and the
record of changes is a production's, so the house has one of its own.
"""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"


def upgrade() -> None:
    """Make the tables."""
    _goods()
    _choices()
    _house_changes()


def _goods() -> None:
    numbers = ("pack_amount", "price", "yield_percent", "held_amount")
    numbers += ("measure_amount", "measure_grams")
    units = ("pack_unit", "held_unit", "measure_unit")
    order = ("pack_amount", "pack_unit", "price", "place", "yield_percent", "held_amount")
    order += ("held_unit", "measure_amount", "measure_unit", "measure_grams")
    op.create_table(
        "goods",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        *(sa.Column(name, sa.String(), nullable=False) for name in order),
        *(_sized("goods", name, 1, 200) for name in ("key", "name")),
        *(_sized("goods", name, 0, 20) for name in numbers),
        *(_sized("goods", name, 0, 40) for name in units),
        _sized("goods", "place", 0, 80),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_goods")),
        sa.UniqueConstraint("key", name=op.f("uq_goods_key")),
    )


def _choices() -> None:
    op.create_table(
        "choices",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        _sized("choices", "key", 1, 80),
        _sized("choices", "value", 0, 200),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_choices")),
    )


def _house_changes() -> None:
    op.create_table(
        "house_changes",
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("before", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("after", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("once", sa.String(), nullable=False),
        sa.Column("undoes", sa.Integer(), nullable=True),
        sa.CheckConstraint("n BETWEEN 1 AND 1000000", name=op.f("ck_house_changes_n")),
        *(_sized("house_changes", name, 1, 200) for name in ("by", "what", "once")),
        sa.PrimaryKeyConstraint("n", name=op.f("pk_house_changes")),
        sa.UniqueConstraint("once", name=op.f("uq_house_changes_once")),
    )


def _sized(table: str, column: str, low: int, high: int) -> sa.CheckConstraint:
    words = f"length({column}) BETWEEN {low} AND {high}"
    return sa.CheckConstraint(words, name=op.f(f"ck_{table}_{column}"))
