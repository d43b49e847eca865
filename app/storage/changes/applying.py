"""Rows brought from what a change found to what it leaves, and back.

A change says it in `{place: {field: value}}`: a row that comes or goes is null on the other side,
and `typed/<place>` holds what was typed into its fields.
"""

from collections.abc import Iterable

from sqlalchemy import Connection, delete, insert, select, update
from sqlalchemy.exc import IntegrityError

from app.storage.changes.record import Places
from app.storage.parts import RANK, TABLES, Place, Values, row_at
from app.storage.refusals import Refusal
from app.storage.tables.typings import TYPINGS

TYPED = "typed/"
UNFIT = "The store can't hold that beside what is there, so nothing was changed."


def apply(connection: Connection, before: Places, after: Places) -> None:
    """Store what `after` says of the places of `before`; a row that goes takes its typings along.

    Raises
    ------
    Refusal
        If a rule of the tables forbids it, such as two rows with one id.
    """
    places = sorted(_places(after), key=lambda each: RANK[each.table])
    try:
        for place in reversed(places):
            if after[str(place)] is None:
                table = TABLES[place.table]
                connection.execute(delete(table).where(table.c.id == place.id))
        for place in places:
            _store(connection, place, before.get(str(place)), after[str(place)])
    except IntegrityError as error:
        raise Refusal(UNFIT) from error
    for key, texts in after.items():
        if key.startswith(TYPED):
            _store_texts(connection, key.removeprefix(TYPED), texts or {})


def _places(said: Places) -> Iterable[Place]:
    found = (Place.read(key) for key in said if not key.startswith(TYPED))
    return [place for place in found if place is not None]


def _store(connection: Connection, place: Place, was: Values | None, now: Values | None) -> None:
    table = TABLES[place.table]
    if now is None:
        return
    if was is None:
        connection.execute(insert(table), now)
    elif now:
        connection.execute(update(table).where(table.c.id == place.id).values(now))


def _store_texts(connection: Connection, place: str, texts: Values) -> None:
    of = TYPINGS.c
    for field, text in texts.items():
        connection.execute(delete(TYPINGS).where(of.place == place, of.field == field))
        if text is not None:
            connection.execute(insert(TYPINGS), {"place": place, "field": field, "text": text})


def typed_at(connection: Connection, places: Iterable[Place]) -> dict[str, dict[str, str]]:
    """Return what was typed into the fields of these places, where it says more than the value."""
    of = TYPINGS.c
    keys = [str(place) for place in places]
    found: dict[str, dict[str, str]] = {}
    query = select(of.place, of.field, of.text).where(of.place.in_(keys))
    for place, field, text in connection.execute(query):
        found.setdefault(place, {})[field] = text
    return found


def gone(connection: Connection, rows: dict[Place, Values]) -> tuple[Places, Places]:
    """Return before and after of rows that are deleted, with what was typed into them."""
    before: Places = {str(place): row for place, row in rows.items()}
    after: Places = dict.fromkeys(before)
    for place, texts in typed_at(connection, rows).items():
        before[TYPED + place] = dict(texts)
        after[TYPED + place] = dict.fromkeys(texts)
    return before, after


def holds(connection: Connection, said: Places) -> str | None:
    """Return the first place that no longer is as `said`, None if all are; where a row stands in
    its list is no matter."""
    for key, fields in said.items():
        if key.startswith(TYPED):
            place = Place.read(key.removeprefix(TYPED))
            now = typed_at(connection, [place] if place else []).get(str(place), {})
            same = all(now.get(field) == text for field, text in (fields or {}).items())
        else:
            place = Place.read(key)
            row = row_at(connection, place) if place else None
            same = (row is None) == (fields is None) and all(
                row is not None and row.get(field) == value
                for field, value in (fields or {}).items()
                if field != "position"
            )
        if not same:
            return key.removeprefix(TYPED)
    return None
