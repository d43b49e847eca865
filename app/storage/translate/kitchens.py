"""Kitchens to rows and back; shifts and closed spans belong to one production."""

from collections.abc import Sequence

from sqlalchemy import Column, Connection, Table, select

from app.planning.day import Cook, Equipment, Kitchen, Settings, Shelf, Span
from app.storage.tables.kitchens import CLOSURES, COOKS, EQUIPMENT, KITCHENS, SHELVES, SHIFTS
from app.storage.translate.rows import (
    Rows,
    Values,
    fields_of,
    insert_rows,
    row_of,
    rows_below,
    rows_of,
)


def store_kitchen(connection: Connection, kitchen: Kitchen, name: str) -> int:
    """Store a kitchen without its spans, and return its id."""
    made = insert_rows(connection, KITCHENS, [{"name": name}])[0]
    equipment = [
        row_of(item, EQUIPMENT, position=at, kitchen_id=made) | settings_of(item)
        for at, item in enumerate(kitchen.equipment)
    ]
    insert_rows(connection, EQUIPMENT, equipment)
    insert_rows(connection, COOKS, rows_of(kitchen.crew, COOKS, kitchen_id=made))
    insert_rows(connection, SHELVES, rows_of(kitchen.shelves, SHELVES, kitchen_id=made))
    return made


def store_spans(connection: Connection, kitchen: Kitchen, kitchen_id: int, production: int) -> None:
    """Store the shifts and closed spans that a production gives a stored kitchen."""
    closed = {item.id: item.closed for item in kitchen.equipment}
    shifts = {cook.id: cook.shifts for cook in kitchen.crew}
    for table, owner, owners, spans in (
        (CLOSURES, CLOSURES.c.equipment_id, EQUIPMENT, closed),
        (SHIFTS, SHIFTS.c.cook_id, COOKS, shifts),
    ):
        ids = _ids(connection, owners, kitchen_id)
        rows = [
            {"production_id": production, owner.name: ids[key], "position": at}
            | {"starts": starts, "ends": ends}
            for key, each in spans.items()
            for at, (starts, ends) in enumerate(each)
        ]
        insert_rows(connection, table, rows)


def kitchen_of(connection: Connection, kitchen_id: int, production: int) -> Kitchen:
    """Return a stored kitchen with the spans of one production."""

    def listed(parent: Column[int]) -> Sequence[Values]:
        return rows_below(connection, kitchen_id, parent)[kitchen_id]

    closed = _spans(connection, production, CLOSURES.c.equipment_id)
    shifts = _spans(connection, production, SHIFTS.c.cook_id)
    return Kitchen(
        equipment=tuple(_item(row, closed) for row in listed(EQUIPMENT.c.kitchen_id)),
        crew=tuple(
            Cook(**fields_of(row, Cook), shifts=_pairs(shifts, row["id"]))
            for row in listed(COOKS.c.kitchen_id)
        ),
        shelves=tuple(Shelf(**fields_of(row, Shelf)) for row in listed(SHELVES.c.kitchen_id)),
    )


def settings_of(item: Equipment) -> Values:
    """Return the columns that hold the settings of an item."""
    settings = item.settings
    return {
        "change_min": settings and settings.change_min,
        "cold_after_min": settings and settings.cold_after_min,
    }


def _item(row: Values, closed: Rows) -> Equipment:
    settings = None
    if row["change_min"] is not None:
        settings = Settings(change_min=row["change_min"], cold_after_min=row["cold_after_min"])
    spans = _pairs(closed, row["id"])
    return Equipment(**fields_of(row, Equipment), closed=spans, settings=settings)


def _ids(connection: Connection, table: Table, kitchen_id: int) -> dict[str, int]:
    query = select(table.c.key, table.c.id).where(table.c.kitchen_id == kitchen_id)
    return {row.key: row.id for row in connection.execute(query)}


def _spans(connection: Connection, production: int, owner: Column[int]) -> Rows:
    table = owner.table
    query = select(table).where(table.c.production_id == production).order_by(table.c.position)
    found: Rows = {}
    for row in connection.execute(query).mappings():
        found.setdefault(row[owner.name], []).append(dict(row))
    return found


def _pairs(spans: Rows, owner: int) -> tuple[Span, ...]:
    return tuple((row["starts"], row["ends"]) for row in spans.get(owner, ()))
