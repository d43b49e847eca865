"""What else speaks of a part that is deleted: it goes along, and comes back with it."""

from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, Select, or_, select

from app.storage.changes.record import Places
from app.storage.parts import Place, Values, row_at
from app.storage.tables.beats import BEATS, LEAVINGS, NEEDS
from app.storage.tables.demonstrations import DEMONSTRATIONS
from app.storage.tables.runs import RUNS
from app.storage.tables.stages import INPUTS, STAGES
from app.storage.tables.stock import STOCK
from app.storage.tables.ways import WAYS

Found = tuple[Place, Values]


def mentions(
    connection: Connection, production: int, place: Place, rows: dict[Place, Values]
) -> tuple[dict[Place, Values], Places, Places]:
    """Return the rows that speak of a part and go with it, and before and after of those that stay.

    A demonstration takes its runs and its stock along, a stage the inputs, needs, leavings and
    stock that name it; a run that lists a beat only loses it from its list.
    """
    row = rows[place]
    found: dict[Place, Values] = {}
    if place.table == "demonstrations":
        found = dict(_of_demonstration(connection, production, row))
    elif place.table == "stages":
        found = dict(_of_stage(connection, production, row))
    elif place.table == "beats":
        return {}, *_of_beat(connection, production, row)
    return {each: values for each, values in found.items() if each not in rows}, {}, {}


def _of_demonstration(connection: Connection, production: int, row: Values) -> Iterator[Found]:
    for table in (RUNS, STOCK):
        of = table.c
        query = select(table).where(of.production_id == production, of.demonstration == row["key"])
        yield from _found(connection, table.name, query)
    for place, entry in _inputs(connection, production):
        if entry["demonstration"] == row["key"]:
            yield place, entry


def _of_stage(connection: Connection, production: int, row: Values) -> Iterator[Found]:
    home = row_at(connection, Place("demonstrations", row["demonstration_id"])) or {}
    of = STOCK.c
    query = select(STOCK).where(of.production_id == production, of.stage == row["key"])
    yield from _found(connection, "stock", query.where(of.demonstration == home["key"]))
    for table in (NEEDS, LEAVINGS):
        query = select(table).join(BEATS).where(BEATS.c.demonstration_id == home["id"])
        yield from _found(connection, table.name, query.where(table.c.stage == row["key"]))
    for place, entry in _inputs(connection, production):
        named = entry["demonstration"] or _home_of(connection, entry)
        if entry["stage"] == row["key"] and named == home["key"]:
            yield place, entry


def _inputs(connection: Connection, production: int) -> Iterator[Found]:
    """Yield every input of a production, of stages and of ways."""
    of = DEMONSTRATIONS.c
    stages = select(STAGES.c.id).join(DEMONSTRATIONS).where(of.production_id == production)
    ways = select(WAYS.c.id).where(WAYS.c.stage_id.in_(stages))
    either = or_(INPUTS.c.stage_id.in_(stages), INPUTS.c.way_id.in_(ways))
    query = select(INPUTS).where(either)
    yield from _found(connection, "inputs", query)


def _home_of(connection: Connection, entry: Values) -> str:
    """Return the id of the demonstration that an input stands in."""
    stage = entry["stage_id"]
    if stage is None:
        stage = (row_at(connection, Place("ways", entry["way_id"])) or {})["stage_id"]
    query = select(DEMONSTRATIONS.c.key).join(STAGES).where(STAGES.c.id == stage)
    return str(connection.execute(query).scalar())


def _of_beat(connection: Connection, production: int, row: Values) -> tuple[Places, Places]:
    home = row_at(connection, Place("demonstrations", row["demonstration_id"])) or {}
    of = RUNS.c
    query = select(RUNS).where(of.production_id == production, of.demonstration == home["key"])
    listed = [
        (place, run)
        for place, run in _found(connection, "runs", query)
        if run["beats"] is not None and row["key"] in run["beats"]
    ]
    before: Places = {str(place): {"beats": run["beats"]} for place, run in listed}
    after: Places = {
        str(place): {"beats": [each for each in run["beats"] if each != row["key"]]}
        for place, run in listed
    }
    return before, after


def _found(connection: Connection, name: str, query: Select[Any]) -> Iterator[Found]:
    for each in connection.execute(query).mappings():
        yield Place(name, each["id"]), dict(each)
