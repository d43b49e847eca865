"""Whole demonstrations are added to a production: begun elsewhere, or of an earlier production."""

from collections.abc import Mapping, Sequence

from sqlalchemy import Connection, select

from app.planning.day import Demonstration, Input
from app.planning.refusals.limits import MOST_OF
from app.storage.changes.record import Change, Places, record, repeated
from app.storage.changes.structure import ADDED, free_key
from app.storage.parts import Place, with_all_below
from app.storage.refusals import Refusal
from app.storage.tables.demonstrations import DEMONSTRATIONS
from app.storage.translate.days import production_row
from app.storage.translate.demonstrations import store_demonstrations

TABLE = str(DEMONSTRATIONS.name)


def add_demonstrations(
    connection: Connection,
    production: int,
    demonstrations: Sequence[Demonstration],
    *,
    source: str,
    by: str,
    once: str,
) -> Change:
    """Add demonstrations after those that are there, as one change that can be taken back.

    Where another has an id already, a new one gets another, and what is made from it follows.
    `source` is where they come from, as a person says it: *from a recipe*; `outcome["keys"]` says
    what the new ones are called.

    Raises
    ------
    Refusal
        If there are none, or more than a production holds.
    NotThere
        If there is no such production.
    """
    if first := repeated(connection, once, ADDED):
        return first
    production_row(connection, production)
    of = DEMONSTRATIONS.c
    query = select(of.key, of.position).where(of.production_id == production)
    there = {str(row.key): int(row.position) for row in connection.execute(query)}
    _refuse_count(len(demonstrations), len(there))
    added = _renamed(demonstrations, set(there))
    store_demonstrations(connection, added, production, max(there.values(), default=-1) + 1)
    after = _rows(connection, production, [each.id for each in added])
    before: Places = dict.fromkeys(after)
    more = f" and {len(added) - 1} more" if len(added) > 1 else ""
    words = f"{by} added “{added[0].title}”{more}, {source}."
    outcome = {"place": next(iter(after)), "keys": [each.id for each in added]}
    return record(
        connection, production, ADDED, words, before, after, by=by, once=once, outcome=outcome
    )


def _refuse_count(new: int, there: int) -> None:
    most = MOST_OF["demonstrations"]
    if not new:
        raise Refusal("There is no demonstration in it. Nothing was changed.")
    if new + there > most:
        raise Refusal(
            f"{new} more would be {new + there} demonstrations; a production holds {most} at most. "
            "Nothing was changed; make several productions of it."
        )


def _rows(connection: Connection, production: int, keys: Sequence[str]) -> Places:
    """Return every row of some demonstrations, by its place."""
    of = DEMONSTRATIONS.c
    query = select(of.id).where(of.production_id == production, of.key.in_(keys))
    found: Places = {}
    for id in connection.execute(query.order_by(of.position)).scalars():
        rows = with_all_below(connection, Place(TABLE, id))
        found |= {str(place): row for place, row in rows.items()}
    return found


def _renamed(demonstrations: Sequence[Demonstration], taken: set[str]) -> list[Demonstration]:
    """Return demonstrations under ids that nobody has; inputs among them follow."""
    names: dict[str, str] = {}
    for each in demonstrations:
        names[each.id] = free_key(each.id, taken | set(names.values()))
    return [named(each, names) for each in demonstrations]


def named(shown: Demonstration, names: Mapping[str, str]) -> Demonstration:
    """Return a demonstration under another id; its inputs follow."""
    stages = tuple(
        stage.model_copy(
            update={
                "takes": _following(stage.takes, names),
                "ways": tuple(
                    way
                    if way.takes is None
                    else way.model_copy(update={"takes": _following(way.takes, names)})
                    for way in stage.ways
                ),
            }
        )
        for stage in shown.stages
    )
    return shown.model_copy(update={"id": names[shown.id], "stages": stages})


def _following(inputs: Sequence[Input], names: Mapping[str, str]) -> tuple[Input, ...]:
    return tuple(
        each.model_copy(update={"demonstration": names[each.demonstration]})
        if each.demonstration is not None and each.demonstration in names
        else each
        for each in inputs
    )
