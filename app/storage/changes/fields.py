"""Fields are filled in, one or a block of them, beside what others fill in meanwhile."""

from collections.abc import Sequence
from typing import NamedTuple

from sqlalchemy import Connection

from app.planning.day import Input
from app.storage.changes.applying import TYPED, apply, typed_at
from app.storage.changes.record import Change, Places, record, repeated
from app.storage.changes.structure import Added, added_rows
from app.storage.parts import Place, Values, part
from app.storage.queries.history import last_change_of
from app.storage.queries.kitchens import is_of_kitchen, sharing_kitchen
from app.storage.refusals import Conflict, Refusal

FILLED, PASTED = "filled in", "pasted"
FIXED = frozenset({"id", "key", "position"})


class Filled(NamedTuple):
    """What a field should hold, and what the form began from.

    `values` are the columns that it fills, empty where what was typed is not understood: then the
    text stands beside the last value that was. `typed` is None where it says what the value says.
    `began` and `began_typed` are what the form showed when the person began.
    """

    place: Place
    field: str
    values: Values
    typed: str | None
    began: Values
    began_typed: str | None = None


def fill_in(
    connection: Connection, production: int, filled: Filled, *, words: str, by: str, once: str
) -> Change | None:
    """Store what a person typed into one field; None where it was there already.

    Parameters
    ----------
    words
        What was changed from what to what, as a person says it, without the name.

    Raises
    ------
    Conflict
        If somebody else has changed the same field meanwhile; nothing is changed.
    NotThere
        If the row was deleted meanwhile.
    """
    if first := repeated(connection, once, FILLED):
        return first
    before, after = _filled(connection, production, [filled])
    if not after:
        return None
    apply(connection, before, after)
    said = f"{by} {words}."
    return record(connection, production, FILLED, said, before, after, by=by, once=once)


def paste(
    connection: Connection,
    production: int,
    filled: Sequence[Filled],
    rows: Sequence[Added] = (),
    *,
    words: str,
    by: str,
    once: str,
) -> Change | None:
    """Store a block of fields, and rows added below them, as one change; all of it or nothing.

    Raises as `fill_in` does.
    """
    if first := repeated(connection, once, PASTED):
        return first
    before, after = _filled(connection, production, filled)
    apply(connection, before, after)
    above: tuple[Added, str] | None = None
    for row in rows:
        was, now = added_rows(connection, production, _following(row, above))
        apply(connection, was, now)
        before, after = before | was, after | now
        new = [values for at, values in now.items() if values and was.get(at, values) is None]
        above = (row, str(new[0].get("key", "")))
    if not after:
        return None
    said = f"{by} {words}."
    return record(connection, production, PASTED, said, before, after, by=by, once=once)


def _following(row: Added, above: tuple[Added, str] | None) -> Added:
    """Return a stage of a block made from the one above it, where it names no other."""
    if above is None or not row.follows or row.below != above[0].below:
        return row
    source = (Input(stage=above[1]),)
    return row._replace(fact=row.fact.model_copy(update={"takes": source}))


def _filled(
    connection: Connection, production: int, filled: Sequence[Filled]
) -> tuple[Places, Places]:
    """Return what changes; fields that hold what is wanted already are left out."""
    before: Places = {}
    after: Places = {}
    for each in filled:
        row = part(connection, production, each.place)
        if not FIXED.isdisjoint(each.values) or not each.values.keys() <= row.keys():
            raise Refusal("That can't be filled in by hand. Nothing was changed.")
        place = str(each.place)
        text = typed_at(connection, [each.place]).get(place, {}).get(each.field)
        now = {name: row[name] for name in each.values}
        if now == each.values and text == each.typed:
            continue
        shown = {name: row[name] for name in each.began}
        if (shown, text) != (each.began, each.began_typed):
            raise _conflict(connection, production, each, shown, text)
        if now != each.values:
            before[place] = (before.get(place) or {}) | now
            after[place] = (after.get(place) or {}) | each.values
        if text != each.typed:
            before[TYPED + place] = (before.get(TYPED + place) or {}) | {each.field: text}
            after[TYPED + place] = (after.get(TYPED + place) or {}) | {each.field: each.typed}
    return before, after


def _conflict(
    connection: Connection, production: int, wanted: Filled, shown: Values, text: str | None
) -> Conflict:
    # A field of the kitchen may have been changed from another production that shares it.
    place, others = str(wanted.place), list[int]()
    if is_of_kitchen([place]):
        others = list(sharing_kitchen(connection, production))
    asked = [*((place, name) for name in wanted.began), (TYPED + place, wanted.field)]
    found = (
        last_change_of(connection, each, at, field)
        for each in (production, *others)
        for at, field in asked
    )
    last = max((each for each in found if each), key=lambda each: (each.at, each.n), default=None)
    who = last.by if last else "Somebody"
    return Conflict(
        f"{who} changed this while you were typing. Keep which?",
        field=wanted.field,
        theirs={"values": shown, "typed": text},
        yours={"values": wanted.values, "typed": wanted.typed},
        by=who,
    )
