"""The production becomes the day that a mended plan goes with."""

from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from app.planning.day import Day, Kitchen, Run
from app.storage.changes.record import Places
from app.storage.tables.kitchens import CLOSURES, SHIFTS
from app.storage.tables.runs import RUNS
from app.storage.translate import day_of
from app.storage.translate.days import production_row
from app.storage.translate.kitchens import store_spans
from app.storage.translate.rows import row_of


def take_up(
    connection: Connection, production: int, before: Day, after: Day
) -> tuple[Places, Places]:
    """Let a production become what a day became; return the places as they were and as they are.

    Parameters
    ----------
    before, after
        The day of the plan that held, and of the one that mends it. Where somebody has changed
        the production otherwise meanwhile, theirs stays.
    """
    there = day_of(connection, production)
    was, now = _take_up_runs(connection, production, there, before, after)
    kitchen = _kitchen(there.kitchen, before.kitchen, after.kitchen)
    if kitchen != there.kitchen:
        for table in (CLOSURES, SHIFTS):
            connection.execute(delete(table).where(table.c.production_id == production))
        kitchen_id = production_row(connection, production)["kitchen_id"]
        store_spans(connection, kitchen, kitchen_id, production)
        was |= _spans(there.kitchen, kitchen)
        now |= _spans(kitchen, there.kitchen)
    return was, now


def _take_up_runs(
    connection: Connection, production: int, there: Day, before: Day, after: Day
) -> tuple[Places, Places]:
    old = {run.id: run for run in before.runs}
    new = {run.id: run for run in after.runs}
    runs = {run.id: run for run in there.runs}
    was: Places = {}
    now: Places = {}
    for key in sorted(old.keys() | new.keys()):
        if old.get(key) == new.get(key) or runs.get(key) != old.get(key):
            continue
        was[f"runs/{key}"], now[f"runs/{key}"] = _said(runs.get(key)), _said(new.get(key))
        _put(connection, production, key, new.get(key))
    order = [*new, *(key for key in runs if key not in new)]
    for at, key in enumerate(order):
        connection.execute(update(RUNS).where(*_at(production, key)).values(position=at))
    return was, now


def _put(connection: Connection, production: int, key: str, run: Run | None) -> None:
    """Store a run in place of what is there under its key; None takes it away."""
    if run is None:
        connection.execute(delete(RUNS).where(*_at(production, key)))
        return
    row = row_of(run, RUNS, production_id=production)
    if connection.execute(select(RUNS.c.id).where(*_at(production, key))).first():
        connection.execute(update(RUNS).where(*_at(production, key)).values(row))
    else:
        connection.execute(insert(RUNS), row | {"position": 0})


def _at(production: int, key: str) -> tuple[Any, ...]:
    return RUNS.c.production_id == production, RUNS.c.key == key


def _said(run: Run | None) -> dict[str, Any] | None:
    return None if run is None else run.model_dump(mode="json", exclude_defaults=True)


def _kitchen(there: Kitchen, before: Kitchen, after: Kitchen) -> Kitchen:
    """Return a kitchen with the closed spans and shifts that a day came to have."""
    closed = {
        item.id: (item.closed, now.closed) for item, now in _pairs(before, after, "equipment")
    }
    shifts = {cook.id: (cook.shifts, now.shifts) for cook, now in _pairs(before, after, "crew")}
    equipment = tuple(
        item.model_copy(update={"closed": closed[item.id][1]})
        if item.id in closed and closed[item.id][0] == item.closed
        else item
        for item in there.equipment
    )
    crew = tuple(
        cook.model_copy(update={"shifts": shifts[cook.id][1]})
        if cook.id in shifts and shifts[cook.id][0] == cook.shifts
        else cook
        for cook in there.crew
    )
    return there.model_copy(update={"equipment": equipment, "crew": crew})


def _pairs(before: Kitchen, after: Kitchen, part: str) -> list[tuple[Any, Any]]:
    """Return what of a kitchen is in both, as it was and as it is."""
    now = {each.id: each for each in getattr(after, part)}
    return [(each, now[each.id]) for each in getattr(before, part) if each.id in now]


def _spans(kitchen: Kitchen, other: Kitchen) -> Places:
    """Return the spans of a kitchen that are different from another's."""
    said: Places = {}
    for item, beside in zip(kitchen.equipment, other.equipment, strict=True):
        if item.closed != beside.closed:
            said[f"kitchen/equipment/{item.id}"] = {"closed": [list(each) for each in item.closed]}
    for cook, their in zip(kitchen.crew, other.crew, strict=True):
        if cook.shifts != their.shifts:
            said[f"kitchen/crew/{cook.id}"] = {"shifts": [list(each) for each in cook.shifts]}
    return said
