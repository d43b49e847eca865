"""What all tables share: one metadata, named constraints, checks that hold both bounds."""

from typing import Any

from sqlalchemy import JSON, CheckConstraint, Column, MetaData, Table
from sqlmodel import SQLModel

MOST = 1_000_000

NAMES = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
}


class Row(SQLModel):
    """A row of the store; it checks nothing in Python, the table's own CHECKs do."""

    metadata = MetaData(naming_convention=NAMES)


def table_of(row: type[Row]) -> Table:
    """Return the table of a row type, for queries that read plain rows."""
    return Row.metadata.tables[str(row.__tablename__)]


def whole(*columns: str, low: int = 0, high: int = MOST) -> tuple[CheckConstraint, ...]:
    """Return a check a column; text is greater than any number, so the upper bound stops it."""
    return tuple(
        CheckConstraint(f"{column} BETWEEN {low} AND {high}", name=column) for column in columns
    )


def truth(*columns: str) -> tuple[CheckConstraint, ...]:
    """Return a check a column: it is true or false."""
    return tuple(CheckConstraint(f"{column} IN (true, false)", name=column) for column in columns)


def one_of(column: str, *values: str) -> CheckConstraint:
    """Return the check that a column holds one of these texts."""
    listed = ", ".join(f"'{value}'" for value in values)
    return CheckConstraint(f"{column} IN ({listed})", name=column)


def sized(*columns: str, low: int = 1, high: int = 10_000) -> tuple[CheckConstraint, ...]:
    """Return a check a column: the text is so many characters long."""
    return tuple(
        CheckConstraint(f"length({column}) BETWEEN {low} AND {high}", name=column)
        for column in columns
    )


def document(*, is_needed: bool = True) -> Column[Any]:
    """Return a column that holds a list or an object as JSON."""
    return Column(JSON(none_as_null=True), nullable=not is_needed)
