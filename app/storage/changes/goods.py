"""Goods are described, changed and removed, and any of that is taken back."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from app.food.densities import same
from app.food.larder import FIELDS, tidy
from app.storage.changes.house import HouseChange, change_numbered, record, repeated
from app.storage.changes.record import Places
from app.storage.queries.goods import choices, good_texts
from app.storage.refusals import Conflict, NotThere, Refusal
from app.storage.tables.goods import CHOICES, GOODS, HOUSE_CHANGES

DESCRIBED, REMOVED, CHOSEN, UNDONE = "good described", "good removed", "chosen", "undone"
GOOD, CHOICE = "goods/", "choices/"
Texts = Mapping[str, str]


def describe_good(
    connection: Connection,
    name: str,
    texts: Texts,
    *,
    began_from: Texts | None,
    by: str,
    once: str,
) -> HouseChange:
    """Say what the house knows of a good; what nobody touched keeps what others made of it.

    Parameters
    ----------
    texts
        A text for each of `food.larder.FIELDS`, already found to be readable.
    began_from
        The texts that the form showed; None where it showed no such good.

    Raises
    ------
    Conflict
        If somebody else has changed the same field meanwhile; nothing is changed.
    """
    if first := repeated(connection, once, DESCRIBED):
        return first
    wanted, stored = tidy(texts), good_texts(connection, name)
    if stored is not None:
        _refuse_conflict(connection, name, wanted, began_from, stored)
        began = began_from or dict.fromkeys(FIELDS, "")
        kept = [field for field in FIELDS if wanted[field] == began.get(field, "")]
        wanted |= {field: stored[field] for field in kept}
    before = None if stored is None else {field: stored[field] for field in ("name", *FIELDS)}
    after = {"name": " ".join(name.split()), **wanted}
    words = f"{by} {_said(after, before)}."
    _put(connection, same(name), after)
    place = GOOD + same(name)
    return record(connection, DESCRIBED, words, {place: before}, {place: after}, by=by, once=once)


def remove_good(connection: Connection, name: str, *, by: str, once: str) -> HouseChange:
    """Forget a good; recipes keep their own words.

    Raises
    ------
    NotThere
        If it is not known any more.
    """
    if first := repeated(connection, once, REMOVED):
        return first
    stored = good_texts(connection, name)
    if stored is None:
        raise NotThere(f"“{name}” is not in the larder any more. Nothing was changed.")
    _put(connection, same(name), None)
    place, words = GOOD + same(name), f"{by} took “{stored['name']}” out of the larder."
    before: Places = {place: dict(stored)}
    return record(connection, REMOVED, words, before, {place: None}, by=by, once=once)


def choose(connection: Connection, chosen: Texts, *, by: str, once: str) -> HouseChange:
    """Choose something for all productions: the units that are shown, the currency."""
    if first := repeated(connection, once, CHOSEN):
        return first
    stored = choices(connection)
    before: Places = {CHOICE + key: {"value": stored.get(key)} for key in chosen}
    after: Places = {CHOICE + key: {"value": value} for key, value in chosen.items()}
    for key, value in chosen.items():
        _choose(connection, key, value)
    listed = ", ".join(f"{key} {value or 'none'}" for key, value in chosen.items())
    return record(connection, CHOSEN, f"{by} chose {listed}.", before, after, by=by, once=once)


def undo_of_house(connection: Connection, n: int, *, by: str, once: str) -> HouseChange:
    """Take a change of the house back, if nobody has changed the same again since.

    Raises
    ------
    NotThere
        If there is no such change.
    Refusal
        If something of it has changed since.
    """
    if first := repeated(connection, once, UNDONE):
        return first
    change = change_numbered(connection, n)
    if change is None:
        raise NotThere("There is no such change. Nothing was changed.")
    now = {place: _stored(connection, place) for place in change.after}
    if now != {place: _filled(place, values) for place, values in change.after.items()}:
        raise Refusal("That has changed again since, so it was not taken back. Change it by hand.")
    for place, values in change.before.items():
        _restore(connection, place, _filled(place, values))
    words = f"{by} took back: {change.words}"
    return record(
        connection, UNDONE, words, change.after, change.before, by=by, once=once, undoes=n
    )


def _filled(place: str, values: dict[str, Any] | None) -> dict[str, Any] | None:
    """Return what a record holds of a good, with the fields that are younger than the record."""
    if values is None or place.startswith(CHOICE):
        return values
    return dict.fromkeys(FIELDS, "") | values


def _stored(connection: Connection, place: str) -> dict[str, Any] | None:
    if place.startswith(CHOICE):
        return {"value": choices(connection).get(place.removeprefix(CHOICE))}
    return good_texts(connection, place.removeprefix(GOOD))


def _restore(connection: Connection, place: str, values: dict[str, Any] | None) -> None:
    if place.startswith(CHOICE):
        _choose(connection, place.removeprefix(CHOICE), (values or {}).get("value"))
    else:
        _put(connection, place.removeprefix(GOOD), values)


def _put(connection: Connection, key: str, values: Texts | None) -> None:
    """Store a good under its key, or take it out."""
    of = GOODS.c.key == key
    if values is None:
        connection.execute(delete(GOODS).where(of))
    elif connection.execute(select(GOODS.c.id).where(of)).first():
        connection.execute(update(GOODS).where(of).values(**values))
    else:
        connection.execute(insert(GOODS), {"key": key, **values})


def _choose(connection: Connection, key: str, value: str | None) -> None:
    connection.execute(delete(CHOICES).where(CHOICES.c.key == key))
    if value is not None:
        connection.execute(insert(CHOICES), {"key": key, "value": value})


def _refuse_conflict(
    connection: Connection, name: str, wanted: Texts, began_from: Texts | None, stored: Texts
) -> None:
    began = began_from or {}
    for field in FIELDS:
        yours, theirs, was = wanted[field], stored[field], began.get(field, "")
        if theirs not in (was, yours) and yours != was:
            who = _last_by(connection, name)
            raise Conflict(
                f"{who[:1].upper()}{who[1:]} changed “{stored['name']}” while you typed: "
                f"“{theirs or 'nothing'}” where you have “{yours or 'nothing'}”. "
                "Nothing was changed yet. Which one holds?",
                field=field,
                theirs=theirs,
                yours=yours,
                by=who,
            )


def _last_by(connection: Connection, name: str) -> str:
    """Return who last changed a good."""
    of = HOUSE_CHANGES.c
    place = GOOD + same(name)
    for row in connection.execute(select(of.by, of.after).order_by(of.n.desc())):
        if place in row.after:
            return str(row.by)
    return "Somebody"


def _said(after: Texts, before: Texts | None) -> str:
    changed = [field for field in FIELDS if after[field] != (before or {}).get(field, "")]
    listed = ", ".join(f"{field.replace('_', ' ')} {after[field] or 'none'}" for field in changed)
    begun = (
        f"put “{after['name']}” in the larder" if before is None else f"changed “{after['name']}”"
    )
    return f"{begun}: {listed}" if listed else begun
