"""Parts are added, duplicated, moved among their like, and deleted with all below them."""

import itertools
import re
from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import NamedTuple

from sqlalchemy import Connection, Table

from app.planning.day import Fact
from app.storage.changes.applying import TYPED, apply, gone, typed_at
from app.storage.changes.asking import ask, without_others
from app.storage.changes.mentions import mentions
from app.storage.changes.record import Change, Places, record, repeated
from app.storage.parts import (
    RANK,
    TABLES,
    Place,
    Values,
    links,
    new_numbers,
    part,
    siblings,
    with_all_below,
)
from app.storage.refusals import Refusal
from app.storage.tables.productions import PRODUCTIONS
from app.storage.translate.rows import row_of, rows_of

ADDED, DUPLICATED, SHIFTED, DELETED = "added", "duplicated", "moved", "deleted"
LONGEST_KEY, LONGEST_STEM = 48, 115
# What a new fact may hold already: its fields, and the tables that they are kept in.
HELD = {
    "stages": (("takes", "inputs"), ("ways", "ways")),
    "ways": (("takes", "inputs"), ("phases", "phases")),
    "phases": (("equipment", "phase_equipment"),),
    "beats": (("needs", "needs"), ("leaves", "leavings")),
    "cooks": (("shifts", "shifts"),),
}


class Added(NamedTuple):
    """A row to add: the fact that it holds, what it lies below by column, after which row (None:
    last), what was typed into its fields where that says more, and whether a stage of a block is
    made from the one above it there."""

    table: str
    fact: Fact
    below: dict[str, int]
    after: Place | None = None
    typed: tuple[tuple[str, str], ...] = ()
    follows: bool = False


def add_part(
    connection: Connection, production: int, added: Added, *, words: str, by: str, once: str
) -> Change:
    """Add a row; `outcome["place"]` says where. Its id is made free where another has it.

    Raises
    ------
    NotThere
        If what it should lie below was deleted meanwhile.
    """
    if first := repeated(connection, once, ADDED):
        return first
    before, after = added_rows(connection, production, added)
    return _stored(connection, production, ADDED, words, before, after, by, once)


def added_rows(connection: Connection, production: int, added: Added) -> tuple[Places, Places]:
    """Return before and after of a row that is added."""
    table = TABLES[added.table]
    for column, name in links(table):
        if added.below.get(column.name) is not None:
            part(connection, production, Place(name, added.below[column.name]))
    below = {column.name: added.below.get(column.name) for column, _ in links(table)}
    if all(id is None for id in below.values()):
        raise Refusal("Nothing says where this belongs. Nothing was changed.")
    like = siblings(connection, table, below)
    row = row_of(added.fact, table, **below)
    if "key" in row:
        row["key"] = free_key(str(row["key"]), {str(each["key"]) for each in like})
    before, after = _placed(connection, table, row, like, added.after)
    held = _held(connection, production, Place(table.name, row["id"]), added.fact)
    before, after = before | dict.fromkeys(held), after | held
    if added.typed:
        at = f"{TYPED}{Place(table.name, row['id'])}"
        before[at], after[at] = {name: None for name, _ in added.typed}, dict(added.typed)
    return before, after


def _held(connection: Connection, production: int, place: Place, fact: Fact) -> Places:
    """Return the rows of what a new fact holds below it, by their places."""
    found: Places = {}
    for name, below in HELD.get(place.table, ()):
        table = TABLES[below]
        facts = getattr(fact, name, None) or ()
        owners = {place.table: place.id, PRODUCTIONS.name: production}
        more = {column.name: owners.get(above) for column, above in links(table)}
        numbers = new_numbers(connection, len(facts)) if facts else ()
        for id, row, each in zip(numbers, rows_of(facts, table, **more), facts, strict=True):
            found[str(Place(below, id))] = row | {"id": id}
            found |= _held(connection, production, Place(below, id), each)
    return found


def duplicate_part(
    connection: Connection,
    production: int,
    place: Place,
    otherwise: Mapping[str, Values] = MappingProxyType({}),
    *,
    words: str,
    by: str,
    once: str,
) -> Change:
    """Add the same once more after a row, with all below it; `outcome["place"]` says where.

    What other productions have below it is theirs alone, such as a person's shifts. `otherwise`
    is what the columns of some of its fields hold instead, by field.

    Raises
    ------
    NotThere
        If the row was deleted meanwhile.
    """
    if first := repeated(connection, once, DUPLICATED):
        return first
    original = part(connection, production, place)
    rows = without_others(with_all_below(connection, place), production)
    number = dict(zip(rows, new_numbers(connection, len(rows)), strict=True))
    like = siblings(connection, TABLES[place.table], original)
    top = _again(original, like, otherwise) | {"id": number[place]}
    before, after = _placed(connection, TABLES[place.table], top, like, place)
    texts = typed_at(connection, rows)
    texts[str(place)] = _without(texts.get(str(place), {}), otherwise)
    for each, row in rows.items():
        copy = Place(each.table, number[each])
        if each != place:
            after[str(copy)] = row | {"id": copy.id} | _moved_links(each, row, number)
            before[str(copy)] = None
        if texts.get(str(each)):
            after[f"{TYPED}{copy}"] = dict(texts[str(each)])
            before[f"{TYPED}{copy}"] = dict.fromkeys(texts[str(each)])
    return _stored(connection, production, DUPLICATED, words, before, after, by, once)


def _without(texts: Mapping[str, str], fields: Collection[str]) -> dict[str, str]:
    return {name: text for name, text in texts.items() if name not in fields}


def _again(original: Values, like: list[Values], otherwise: Mapping[str, Values]) -> Values:
    """Return a row once more, with an id and a name of its own."""
    row = dict(original)
    if "key" in row:
        row["key"] = free_key(str(row["key"]), {str(each["key"]) for each in like})
        said = {str(each["name"] or each["key"]) for each in like}
        row["name"] = _free_name(str(original["name"] or original["key"]), said)
    if "title" in row:
        row["title"] = _free_name(str(original["title"]), {str(each["title"]) for each in like})
    for values in otherwise.values():
        row |= values
    return row


def move_part(
    connection: Connection,
    production: int,
    place: Place,
    to: int,
    *,
    words: str,
    by: str,
    once: str,
) -> Change | None:
    """Move a row among its like to place `to`, counted from 0; None where it is there already.

    Raises
    ------
    NotThere
        If the row was deleted meanwhile.
    """
    if first := repeated(connection, once, SHIFTED):
        return first
    row = part(connection, production, place)
    like = siblings(connection, TABLES[place.table], row)
    order = [each["id"] for each in like if each["id"] != place.id]
    order.insert(max(0, min(to, len(order))), place.id)
    before, after = _renumbered(place.table, like, order)
    if order == [each["id"] for each in like]:
        return None
    return _stored(connection, production, SHIFTED, words, before, after, by, once)


def delete_part(
    connection: Connection,
    production: int,
    place: Place,
    *,
    seen_n: int,
    is_sure: bool = False,
    words: str,
    by: str,
    once: str,
) -> Change:
    """Delete a row, all below it, and what others say of it. It can be taken back.

    `seen_n` and `is_sure` are for `ask`.

    Raises
    ------
    Conflict
        If the person is to be asked first.
    NotThere
        If the row was deleted meanwhile.
    """
    if first := repeated(connection, once, DELETED):
        return first
    part(connection, production, place)
    rows = with_all_below(connection, place)
    ask(connection, production, rows, seen_n, is_sure=is_sure)
    removed, before, after = mentions(connection, production, place, rows)
    was, now = gone(connection, rows | removed)
    return _stored(connection, production, DELETED, words, before | was, after | now, by, once)


def free_key(wanted: str, taken: set[str]) -> str:
    """Return an id as near to the wanted one as the ids that are taken allow."""
    stem = re.sub(r"-\d+$", "", wanted) if wanted in taken else wanted
    key, number = wanted, 2
    while key in taken:
        key = f"{stem[: LONGEST_KEY - 1 - len(str(number))]}-{number}"
        number += 1
    return key


def _free_name(wanted: str, taken: set[str]) -> str:
    """Return a name with the next number that none has: *Oven 3* beside *Oven* and *Oven 2*."""
    stem = re.sub(r" (?:[2-9]|1\d)$", "", wanted)[:LONGEST_STEM]
    return next(name for n in itertools.count(2) if (name := f"{stem} {n}") not in taken)


def _placed(
    connection: Connection, table: Table, row: Values, like: list[Values], after: Place | None
) -> tuple[Places, Places]:
    if "id" not in row:
        row["id"] = new_numbers(connection, 1)[0]
    order = [each["id"] for each in like]
    at = order.index(after.id) + 1 if after and after.id in order else len(order)
    order.insert(at, row["id"])
    row["position"] = at
    was, now = _renumbered(table.name, like, order)
    key = str(Place(table.name, row["id"]))
    return was | {key: None}, now | {key: row}


def _renumbered(table: str, like: list[Values], order: list[int]) -> tuple[Places, Places]:
    at = {id: position for position, id in enumerate(order)}
    moved = [each for each in like if each["position"] != at[each["id"]]]
    before: Places = {f"{table}/{each['id']}": {"position": each["position"]} for each in moved}
    after: Places = {f"{table}/{each['id']}": {"position": at[each["id"]]} for each in moved}
    return before, after


def _moved_links(place: Place, row: Values, number: dict[Place, int]) -> Values:
    """Return the columns of a copied row that must point to what was copied with it."""
    return {
        column.name: number[Place(name, row[column.name])]
        for column, name in links(TABLES[place.table])
        if row[column.name] is not None and Place(name, row[column.name]) in number
    }


def _stored(
    connection: Connection,
    production: int,
    what: str,
    words: str,
    before: Places,
    after: Places,
    by: str,
    once: str,
) -> Change:
    apply(connection, before, after)
    come = [key for key, row in after.items() if row and before.get(key, row) is None]
    tops = sorted((p for p in map(Place.read, come) if p), key=lambda each: RANK[each.table])
    outcome = {"place": str(tops[0])} if tops else {}
    said = f"{by} {words}."
    return record(
        connection, production, what, said, before, after, by=by, once=once, outcome=outcome
    )
