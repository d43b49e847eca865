"""Facts to rows and back, for all that has the same name in the day and in the table."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Column, Connection, Select, Table, insert, select

from app.planning.day import Fact
from app.storage.parts import ROWS, new_numbers

Values = dict[str, Any]
Rows = dict[int, list[Values]]


def row_of(fact: Fact, table: Table, **more: Any) -> Values:
    """Return the row of a fact: its fields that the table has, its id as `key`, and `more`."""
    fields = set(table.columns.keys()) & set(type(fact).model_fields) - {"id"}
    values = fact.model_dump(mode="json", include=fields, warnings=False)
    if "key" in table.columns:
        values["key"] = getattr(fact, "id", None)
    if "own_inputs" in table.columns:
        values["own_inputs"] = getattr(fact, "takes", None) is not None
    return values | more


def rows_of(facts: Sequence[Fact], table: Table, **more: Any) -> list[Values]:
    """Return a row a fact, numbered by position."""
    return [row_of(fact, table, position=at, **more) for at, fact in enumerate(facts)]


def fields_of(row: Mapping[str, Any], kind: type[Fact]) -> Values:
    """Return what a row says of the fields of a fact."""
    values = {name: row[name] for name in kind.model_fields if name != "id" and name in row}
    if "id" in kind.model_fields:
        values["id"] = row["key"]
    return values


def insert_rows(connection: Connection, table: Table, rows: Sequence[Values]) -> list[int]:
    """Insert rows and return their ids in the same order."""
    if not rows:
        return []
    if table in ROWS:
        ids = list(new_numbers(connection, len(rows)))
        numbered = [row | {"id": id} for id, row in zip(ids, rows, strict=True)]
        connection.execute(insert(table), numbered)
        return ids
    query = insert(table).returning(table.c.id, sort_by_parameter_order=True)
    return list(connection.execute(query, list(rows)).scalars())


def rows_below(connection: Connection, root: int, *route: Column[Any]) -> Rows:
    """Return the rows of the first column's table that lie below `root`, by their parent, in order.

    `route` are the keys from the row up to the one that must equal `root`.
    """
    table = route[0].table
    query = select(table).where(route[-1] == root)
    for key in route[:-1]:
        parent = next(iter(key.foreign_keys)).column
        query = query.join(parent.table, key == parent)
    query = query.order_by(table.c.position, table.c.id)
    found: Rows = defaultdict(list)
    for row in values_of(connection, query):
        found[row[route[0].name]].append(row)
    return found


def values_of(connection: Connection, query: Select[Any]) -> list[Values]:
    """Return the rows of a query by column; many at once, so their names are asked for once."""
    result = connection.execute(query)
    names = tuple(result.keys())
    return [dict(zip(names, row, strict=True)) for row in result]
