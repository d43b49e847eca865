"""The parts of a production that people edit: each is a row, and its place is its lasting name.

A place is the table and the number of the row, `stages/17`. Numbers are never given twice, so a
place means the same row for ever, wherever the row is moved to.
"""

from typing import Any, NamedTuple

from sqlalchemy import Column, Connection, Table, select, update

from app.storage.refusals import NotThere
from app.storage.tables.beats import BEATS, LEAVINGS, NEEDS
from app.storage.tables.demonstrations import DEMONSTRATIONS
from app.storage.tables.ingredients import INGREDIENTS
from app.storage.tables.kitchens import CLOSURES, COOKS, EQUIPMENT, KITCHENS, SHELVES, SHIFTS
from app.storage.tables.phases import PHASE_EQUIPMENT, PHASES
from app.storage.tables.productions import PRODUCTIONS
from app.storage.tables.runs import RUNS
from app.storage.tables.stages import INPUTS, STAGES
from app.storage.tables.stock import STOCK
from app.storage.tables.typings import NUMBERS
from app.storage.tables.ways import WAYS

Values = dict[str, Any]
HEADS = (PRODUCTIONS, KITCHENS)
# Parents come before what lies below them.
ROWS = (
    *(DEMONSTRATIONS, STAGES, WAYS, INPUTS, PHASES, PHASE_EQUIPMENT, BEATS, NEEDS, LEAVINGS),
    *(INGREDIENTS, RUNS, STOCK, EQUIPMENT, COOKS, SHELVES, SHIFTS, CLOSURES),
)
TABLES: dict[str, Table] = {table.name: table for table in (*HEADS, *ROWS)}
RANK = {table.name: rank for rank, table in enumerate((*HEADS, *ROWS))}
GONE = "This was deleted meanwhile, so nothing was changed. What you typed is still on this page."


class Place(NamedTuple):
    """Where a part is kept."""

    table: str
    id: int

    def __str__(self) -> str:
        return f"{self.table}/{self.id}"

    @classmethod
    def read(cls, text: str) -> "Place | None":
        """Return the place that a text names, or None if it names none."""
        table, _, number = text.partition("/")
        if table not in TABLES or not (number.isascii() and number.isdigit()):
            return None
        return cls(table, int(number))


def links(table: Table) -> list[tuple[Column[Any], str]]:
    """Return the columns that say what a row lies below, each with that table's name."""
    return [
        (table.c[key.parent.name], key.column.table.name)
        for key in sorted(table.foreign_keys, key=lambda key: str(key.parent.name))
        if key.column.table.name in TABLES
    ]


BELOW: dict[str, list[Column[Any]]] = {
    name: [column for table in ROWS for column, above in links(table) if above == name]
    for name in TABLES
}


def row_at(connection: Connection, place: Place) -> Values | None:
    """Return the row of a place, None if it is not there."""
    table = TABLES[place.table]
    found = connection.execute(select(table).where(table.c.id == place.id)).mappings().first()
    return None if found is None else dict(found)


def part(connection: Connection, production: int, place: Place) -> Values:
    """Return the row of a part of this production.

    Raises
    ------
    NotThere
        If there is none, or it is another production's.
    """
    row = row_at(connection, place)
    if row is None or not _is_of(connection, production, place, row):
        raise NotThere(GONE)
    return row


def _is_of(connection: Connection, production: int, place: Place, row: Values) -> bool:
    if place.table == PRODUCTIONS.name:
        return place.id == production
    if place.table == KITCHENS.name:
        of = PRODUCTIONS.c
        query = select(of.kitchen_id).where(of.id == production)
        return connection.execute(query).scalar() == place.id
    above = [
        Place(name, row[column.name])
        for column, name in links(TABLES[place.table])
        if row[column.name] is not None
    ]
    rows = [(each, row_at(connection, each)) for each in above]
    return bool(rows) and all(
        found is not None and _is_of(connection, production, each, found) for each, found in rows
    )


def siblings(connection: Connection, table: Table, like: Values) -> list[Values]:
    """Return the rows that lie below the same parents as `like`, in their order."""
    query = select(table).order_by(table.c.position, table.c.id)
    for column, _ in links(table):
        query = query.where(column.is_not_distinct_from(like[column.name]))
    return [dict(row) for row in connection.execute(query).mappings()]


def with_all_below(connection: Connection, place: Place) -> dict[Place, Values]:
    """Return the row of a place and every row below it, parents first."""
    row = row_at(connection, place)
    found = {} if row is None else {place: row}
    level = [place] if found else []
    while level:
        deeper: list[Place] = []
        for name in dict.fromkeys(each.table for each in level):
            ids = [each.id for each in level if each.table == name]
            for column in BELOW[name]:
                query = select(column.table).where(column.in_(ids)).order_by(column.table.c.id)
                for below in connection.execute(query).mappings():
                    deeper.append(Place(str(column.table.name), below["id"]))
                    found[deeper[-1]] = dict(below)
        level = deeper
    return dict(sorted(found.items(), key=lambda each: RANK[each[0].table]))


def new_numbers(connection: Connection, count: int) -> range:
    """Return numbers for so many new rows, none of which was ever given."""
    query = update(NUMBERS).values(last=NUMBERS.c.last + count).returning(NUMBERS.c.last)
    last = int(connection.execute(query).scalar_one())
    return range(last - count + 1, last + 1)
