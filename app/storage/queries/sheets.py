"""All rows of a production that people edit, as its editors show them."""

from collections import defaultdict
from collections.abc import Sequence
from functools import cached_property
from typing import Any

from sqlalchemy import Connection, Select, select

from app.storage.parts import ROWS, TABLES, Place, Values, links
from app.storage.queries.kitchens import kitchen_mark
from app.storage.queries.productions import newest_change
from app.storage.tables.typings import TYPINGS
from app.storage.translate.days import production_row
from app.storage.translate.rows import values_of


class Sheet:
    """The rows of one production, in their order, with what was typed into them.

    `n` is the number of the last change that they hold, `kitchen_mark` tells what the kitchen
    holds, which other productions may change.
    """

    def __init__(
        self, production: Values, kitchen: Values, n: int, rows: dict[str, list[Values]]
    ) -> None:
        self.production, self.kitchen, self.n = production, kitchen, n
        self._rows = rows
        self._below: dict[tuple[str, str, int], list[Values]] = defaultdict(list)
        for name, listed in rows.items():
            for row in listed:
                for column, above in links(TABLES[name]):
                    if row[column.name] is not None:
                        self._below[name, above, row[column.name]].append(row)
        self.typed: dict[str, dict[str, str]] = {}
        self.kitchen_mark = ""

    def all(self, table: str) -> Sequence[Values]:
        """Return every row of a table."""
        return self._rows[table]

    def below(self, above: str, id: int, table: str) -> Sequence[Values]:
        """Return the rows of `table` that lie below one row of the table `above`, in order."""
        return self._below.get((table, above, id), [])

    def row(self, place: Place) -> Values | None:
        """Return the row of a place, None if it is not there."""
        return self._by_place.get(place)

    @cached_property
    def _by_place(self) -> dict[Place, Values]:
        heads = {
            Place("productions", self.production["id"]): self.production,
            Place("kitchens", self.kitchen["id"]): self.kitchen,
        }
        return heads | {
            Place(name, row["id"]): row for name, listed in self._rows.items() for row in listed
        }


def sheet(connection: Connection, production: int) -> Sheet:
    """Return all rows of a production; NotThere if there is none or it was removed."""
    head = production_row(connection, production)
    kitchens = TABLES["kitchens"]
    query = select(kitchens).where(kitchens.c.id == head["kitchen_id"])
    kitchen = dict(connection.execute(query).mappings().one())
    ids = {"productions": [production], "kitchens": [kitchen["id"]]}
    rows: dict[str, list[Values]] = {}
    for table in ROWS:
        rows[table.name] = values_of(connection, _of(table.name, ids))
        ids[table.name] = [row["id"] for row in rows[table.name]]
    made = Sheet(head, kitchen, newest_change(connection, production), rows)
    made.typed = _typed(connection, made)
    made.kitchen_mark = kitchen_mark(connection, production)
    return made


def _of(name: str, ids: dict[str, list[int]]) -> Select[Any]:
    """Return the query for the rows of a table below rows that are known."""
    table = TABLES[name]
    query = select(table).order_by(table.c.position, table.c.id)
    found = links(table)
    if all(not column.nullable for column, _ in found):
        for column, above in found:
            query = query.where(column.in_(ids[above]))
        return query
    either = [column.in_(ids[above]) for column, above in found]
    return query.where(either[0] | either[1])


def _typed(connection: Connection, of: Sheet) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for place, field, text in connection.execute(
        select(TYPINGS.c.place, TYPINGS.c.field, TYPINGS.c.text)
    ):
        read = Place.read(place)
        if read is not None and of.row(read) is not None:
            found.setdefault(place, {})[field] = text
    return found
