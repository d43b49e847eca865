"""A row for each ingredient.

They were a list inside of their stage or beat, so that two people who changed two ingredients of
one stage were told that they had changed the same thing.
"""

import json

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"


def upgrade() -> None:
    """Make the table, move the lists into it, in their order, and drop them."""
    op.create_table(
        "ingredients",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("stage_id", sa.Integer(), nullable=True),
        sa.Column("beat_id", sa.Integer(), nullable=True),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("amount", sa.Float(), nullable=True),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("per", sa.String(), nullable=False),
        sa.Column("contains", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.CheckConstraint(
            "(stage_id IS NULL) <> (beat_id IS NULL)", name=op.f("ck_ingredients_owner")
        ),
        sa.CheckConstraint("per IN ('copy', 'set', 'batch')", name=op.f("ck_ingredients_per")),
        sa.CheckConstraint("position BETWEEN 0 AND 1000000", name=op.f("ck_ingredients_position")),
        sa.CheckConstraint("amount BETWEEN 0 AND 1000000", name=op.f("ck_ingredients_amount")),
        sa.CheckConstraint("length(name) BETWEEN 0 AND 10000", name=op.f("ck_ingredients_name")),
        sa.ForeignKeyConstraint(
            ["stage_id"],
            ["stages.id"],
            name=op.f("fk_ingredients_stage_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["beat_id"], ["beats.id"], name=op.f("fk_ingredients_beat_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_ingredients")),
    )
    op.create_index(op.f("ix_ingredients_stage_id"), "ingredients", ["stage_id"])
    op.create_index(op.f("ix_ingredients_beat_id"), "ingredients", ["beat_id"])
    connection = op.get_bind()
    for table, owner in (("stages", "stage_id"), ("beats", "beat_id")):
        _move(connection, table, owner)
        op.drop_column(table, "ingredients")


def _move(connection: sa.Connection, table: str, owner: str) -> None:
    numbers, rows = sa.table("numbers", sa.column("last")), []
    last = connection.execute(sa.select(numbers.c.last)).scalar() or 0
    of = sa.table(table, sa.column("id"), sa.column("ingredients"))
    for id, listed in connection.execute(sa.select(of.c.id, of.c.ingredients).order_by(of.c.id)):
        for position, each in enumerate(json.loads(listed)):
            last += 1
            row = {"id": last, "stage_id": None, "beat_id": None, "position": position}
            rows.append(row | {owner: id} | _said(each))
    if rows:
        names = [sa.column(name) for name in rows[0]]
        connection.execute(sa.insert(sa.table("ingredients", *names)), rows)
        connection.execute(sa.update(numbers).values(last=last))


def _said(each: dict[str, object]) -> dict[str, object]:
    return {
        "name": each["name"],
        "amount": each.get("amount"),
        "unit": each.get("unit", ""),
        "per": each.get("per", "copy"),
        "contains": json.dumps(each.get("contains", [])),
        "note": each.get("note", ""),
    }
