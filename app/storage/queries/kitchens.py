"""A kitchen that several productions share: which they are, and whether it has changed."""

import hashlib
import json
from collections.abc import Iterable
from typing import NamedTuple

from sqlalchemy import Connection, select

from app.storage.parts import TABLES
from app.storage.queries.history import history
from app.storage.tables.kitchens import COOKS, EQUIPMENT, KITCHENS, SHELVES
from app.storage.tables.productions import PRODUCTIONS

SHARED = tuple(str(table.name) for table in (KITCHENS, EQUIPMENT, COOKS, SHELVES))
LENGTH, LOOK_BACK = 12, 100


class ChangedElsewhere(NamedTuple):
    """A change of a kitchen: when, its number in the other production, by whom, in words."""

    at: str
    n: int
    by: str
    words: str


def sharing_kitchen(connection: Connection, production: int) -> dict[int, str]:
    """Return the titles of the other productions that have the same kitchen as one."""
    of = PRODUCTIONS.c
    kitchen = select(of.kitchen_id).where(of.id == production).scalar_subquery()
    same = (of.kitchen_id == kitchen, of.id != production, of.removed_at.is_(None))
    query = select(of.id, of.title).where(*same).order_by(of.title)
    return {row.id: row.title for row in connection.execute(query)}


def is_of_kitchen(places: Iterable[str]) -> bool:
    """Tell whether any of these places belongs to a kitchen and not to a production alone."""
    return any(place.partition("/")[0] in SHARED for place in places)


def kitchen_mark(connection: Connection, production: int) -> str:
    """Return a mark of what the kitchen of a production holds: another one once that changes."""
    of = PRODUCTIONS.c
    kitchen = select(of.kitchen_id).where(of.id == production).scalar_subquery()
    held = []
    for name in SHARED:
        table = TABLES[name]
        column = table.c.id if table is KITCHENS else table.c.kitchen_id
        query = select(table).where(column == kitchen).order_by(table.c.id)
        held.append([list(row) for row in connection.execute(query)])
    return hashlib.sha256(json.dumps(held).encode()).hexdigest()[:LENGTH]


def changes_elsewhere(
    connection: Connection, production: int, since: str = ""
) -> list[ChangedElsewhere]:
    """Return the changes of its kitchen that were made from other productions, the newest first.

    `since` is a moment in UTC, as the record of changes has it.
    """
    found = [
        ChangedElsewhere(row.at, row.n, row.by, f"{row.words.removesuffix('.')}, in “{title}”.")
        for other, title in sharing_kitchen(connection, production).items()
        for row in history(connection, other, most=LOOK_BACK)
        if row.at >= since and is_of_kitchen([*row.before, *row.after])
    ]
    return sorted(found, reverse=True)


def changed_elsewhere(connection: Connection, production: int) -> str:
    """Return in words the last change of its kitchen that was made from another production."""
    found = changes_elsewhere(connection, production)
    return found[0].words if found else ""
