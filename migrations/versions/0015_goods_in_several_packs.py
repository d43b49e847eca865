"""A good is sold in up to four sizes of pack, each at its price.

There was one. Which sizes are bought is found by what they cost together, so the list needs all.
"""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
OLD = ("id", "key", "name", "pack_amount", "pack_unit", "price", "place", "yield_percent")
OLD += ("held_amount", "held_unit", "measure_amount", "measure_unit", "measure_grams")
NEW = tuple(
    name for n in (2, 3, 4) for name in (f"pack_{n}_amount", f"pack_{n}_unit", f"price_{n}")
)


def upgrade() -> None:
    """Make the table anew with the further packs, and move what is known into it."""
    op.rename_table("goods", "goods_before")
    order = (*OLD[3:6], *NEW, *OLD[6:])
    op.create_table(
        "goods",
        sa.Column("id", sa.Integer(), nullable=False),
        *(sa.Column(name, sa.String(), nullable=False) for name in ("key", "name", *order)),
        *(_sized(name, 1, 200) for name in ("key", "name")),
        *(_sized(name, 0, 80 if name == "place" else _longest(name)) for name in order),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_goods")),
        sa.UniqueConstraint("key", name=op.f("uq_goods_key")),
    )
    old, new = ", ".join(OLD), ", ".join(NEW)
    nothing = ", ".join("''" for _ in NEW)
    op.execute(f"INSERT INTO goods ({old}, {new}) SELECT {old}, {nothing} FROM goods_before")
    op.drop_table("goods_before")


def _longest(name: str) -> int:
    return 40 if name.endswith("_unit") else 20


def _sized(column: str, low: int, high: int) -> sa.CheckConstraint:
    words = f"length({column}) BETWEEN {low} AND {high}"
    return sa.CheckConstraint(words, name=op.f(f"ck_goods_{column}"))
