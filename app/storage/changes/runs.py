"""Runs are moved: one, or one and all that start with it or after it."""

from typing import NamedTuple

from sqlalchemy import Connection, select, update

from app.planning.dates import short_date
from app.planning.minutes import Clock, NoSuchTime
from app.planning.moments import moved_along
from app.storage.changes.record import Change, Places, record, repeated
from app.storage.queries.history import last_change_of
from app.storage.refusals import Conflict, NotThere, Refusal
from app.storage.tables.runs import RUNS
from app.storage.translate.days import production_row

MOVED, MOVED_ALL = "run moved", "run and all after moved"


class _Run(NamedTuple):
    id: int
    key: str
    called: str
    starts: str


def move_run(
    connection: Connection,
    production: int,
    run: str,
    starts: str,
    *,
    began_from: str,
    by: str,
    once: str,
) -> Change:
    """Give a run another start, local time. `began_from` is the start that the form showed.

    Raises
    ------
    Conflict
        If somebody else has moved the run meanwhile; nothing is changed.
    Refusal
        If the time does not exist or is no time.
    NotThere
        If there is no such run.
    """
    if first := repeated(connection, once, MOVED):
        return first
    clock = Clock(production_row(connection, production)["timezone"])
    found = _one(_runs(connection, production), run)
    _minute(clock, starts)
    _refuse_conflict(connection, production, found, began_from, starts)
    words = f"{by} {_moved(found, starts)}."
    return _move(connection, production, {found: starts}, words, MOVED, by=by, once=once)


def move_run_and_all_after(
    connection: Connection,
    production: int,
    run: str,
    starts: str,
    *,
    began_from: str,
    by: str,
    once: str,
) -> Change:
    """Give a run another start, and move all that start with it or after it by as many minutes.

    What starts in the same minute is the other half of one moment: a second dish of a class, a
    second set. Later days stay unless it moves to another date. Raises as `move_run` does.
    """
    if first := repeated(connection, once, MOVED_ALL):
        return first
    clock = Clock(production_row(connection, production)["timezone"])
    runs = _runs(connection, production)
    found = _one(runs, run)
    was = _minute(clock, found.starts)
    later_min = _minute(clock, starts) - was
    _refuse_conflict(connection, production, found, began_from, starts)
    along_with = set(moved_along(clock, {each.key: each.starts for each in runs}, run, starts))
    moved = {
        each: clock.text(clock.minute(each.starts) + later_min)
        for each in runs
        if each.key in along_with
    }
    moved[found] = starts
    together = sum(clock.minute(each.starts) == was for each in runs) - 1
    along = f", with {together} that started at the same time" if together else ""
    words = f"{by} {_moved(found, starts)}{along}, and {len(moved) - 1 - together} after it."
    return _move(connection, production, moved, words, MOVED_ALL, by=by, once=once)


def _runs(connection: Connection, production: int) -> list[_Run]:
    query = select(RUNS.c.id, RUNS.c.key, RUNS.c.name, RUNS.c.starts).where(
        RUNS.c.production_id == production
    )
    return [
        _Run(row.id, row.key, row.name or row.key, row.starts) for row in connection.execute(query)
    ]


def _one(runs: list[_Run], key: str) -> _Run:
    for run in runs:
        if run.key == key:
            return run
    raise NotThere(f"There is no run “{key}” here any more. Nothing was changed.")


def _minute(clock: Clock, text: str) -> int:
    try:
        return clock.minute(text)
    except NoSuchTime as error:
        raise Refusal(
            f"{_said(text)} does not exist that day, or exists twice, because the clocks change. "
            "Nothing was changed; choose another time."
        ) from error
    except ValueError as error:
        raise Refusal(f"“{text}” is no time of a day. Nothing was changed.") from error


def _refuse_conflict(
    connection: Connection, production: int, run: _Run, began_from: str, wanted: str
) -> None:
    if run.starts in (began_from, wanted):
        return
    last = last_change_of(connection, production, f"runs/{run.id}", "starts")
    who = last.by if last else "Somebody"
    raise Conflict(
        f"{who} moved {run.called} to {_said(run.starts, wanted)} while you were at it; "
        f"you wanted {_said(wanted, run.starts)}. Which one holds?",
        field="starts",
        theirs=run.starts,
        yours=wanted,
        by=who,
    )


def _move(
    connection: Connection,
    production: int,
    moved: dict[_Run, str],
    words: str,
    what: str,
    *,
    by: str,
    once: str,
) -> Change:
    for run, starts in moved.items():
        of = (RUNS.c.production_id == production, RUNS.c.key == run.key)
        connection.execute(update(RUNS).where(*of).values(starts=starts))
    before: Places = {f"runs/{run.id}": {"starts": run.starts} for run in moved}
    after: Places = {f"runs/{run.id}": {"starts": starts} for run, starts in moved.items()}
    return record(connection, production, what, words, before, after, by=by, once=once)


def _moved(run: _Run, starts: str) -> str:
    if run.starts == starts:
        return f"left {run.called} at {_said(starts, starts)}"
    return f"moved {run.called} from {_said(run.starts, starts)} to {_said(starts, run.starts)}"


def _said(local: str, beside: str = "") -> str:
    """Return a local time as people say it; with its date unless `beside` has the same."""
    hour = local[11:16] + (f" ({local[16:]})" if len(local) > 16 else "")
    return hour if local[:10] == beside[:10] else f"{hour} on {short_date(local)}"
