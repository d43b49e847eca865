"""A day of a rundown once more on another date: its runs, and who is on shift."""

from datetime import date

from sqlalchemy import Connection, select

from app.planning.dates import short_date
from app.planning.minutes import Clock, NoSuchTime
from app.storage.changes.applying import apply
from app.storage.changes.record import Change, Places, record, repeated
from app.storage.changes.structure import free_key
from app.storage.parts import Place, Values, new_numbers
from app.storage.refusals import Refusal
from app.storage.tables.kitchens import SHIFTS
from app.storage.tables.runs import RUNS
from app.storage.translate.days import production_row

DAY_AGAIN = "day duplicated"


def duplicate_day(
    connection: Connection,
    production: int,
    of: str,
    to: str,
    *,
    with_shifts: bool,
    words: str,
    by: str,
    once: str,
) -> Change:
    """Add every run of one date once more on another, at the same hours; shifts too if asked.

    Parameters
    ----------
    of, to
        Two dates, `yyyy-mm-dd`.
    words
        What was done, as a person says it, without the name.

    Raises
    ------
    Refusal
        If nothing is on that date, or a time does not exist on the other.
    """
    if first := repeated(connection, once, DAY_AGAIN):
        return first
    clock = Clock(production_row(connection, production)["timezone"])
    if of == to:
        raise Refusal("That is the same day. Nothing was added; choose another date.")
    runs = _rows(connection, RUNS.name, production)
    wanted = [row for row in runs if row["starts"][:10] == of]
    if not wanted:
        raise Refusal("There is no run on that day any more. Nothing was added.")
    made = _runs_again(clock, runs, wanted, of, to)
    if with_shifts:
        made += _shifts_again(clock, _rows(connection, SHIFTS.name, production), of, to)
    return _added(connection, production, made, f"{by} {words}.", by, once)


def _runs_again(
    clock: Clock, runs: list[Values], wanted: list[Values], of: str, to: str
) -> list[tuple[str, Values]]:
    taken = {str(row["key"]) for row in runs}
    made: list[tuple[str, Values]] = []
    for at, row in enumerate(wanted):
        key = free_key(row["key"], taken)
        taken.add(key)
        again = row | {"key": key, "name": row["name"] or row["key"], "position": len(runs) + at}
        made.append((RUNS.name, again | {"starts": _on(clock, row["starts"], of, to)}))
    return made


def _shifts_again(clock: Clock, shifts: list[Values], of: str, to: str) -> list[tuple[str, Values]]:
    """Return the shifts of a date on another, but for who is on shift there already."""
    made: list[tuple[str, Values]] = []
    for at, row in enumerate(each for each in shifts if each["starts"][:10] == of):
        spans = {name: _on(clock, row[name], of, to) for name in ("starts", "ends")}
        if not any(each["cook_id"] == row["cook_id"] and _meet(each, spans) for each in shifts):
            made.append((SHIFTS.name, row | spans | {"position": len(shifts) + at}))
    return made


def _rows(connection: Connection, name: str, production: int) -> list[Values]:
    table = RUNS if name == RUNS.name else SHIFTS
    query = select(table).where(table.c.production_id == production).order_by(table.c.position)
    return [dict(row) for row in connection.execute(query).mappings()]


def _on(clock: Clock, local: str, of: str, to: str) -> str:
    """Return a local time as many days later as one date is after another."""
    days = date.fromisoformat(to).toordinal() - date.fromisoformat(of).toordinal()
    there = date.fromordinal(date.fromisoformat(local[:10]).toordinal() + days).isoformat()
    try:
        clock.minute(there + local[10:16])
    except NoSuchTime as why:
        raise Refusal(
            f"{local[11:16]} does not exist on {short_date(there)}, or exists twice, because the "
            "clocks change. Nothing was added."
        ) from why
    return there + local[10:16]


def _meet(shift: Values, spans: Values) -> bool:
    return bool(shift["starts"] < spans["ends"] and spans["starts"] < shift["ends"])


def _added(
    connection: Connection,
    production: int,
    made: list[tuple[str, Values]],
    words: str,
    by: str,
    once: str,
) -> Change:
    after: Places = {}
    numbers = new_numbers(connection, len(made))
    for (table, row), id in zip(made, numbers, strict=True):
        after[str(Place(table, id))] = row | {"id": id}
    before: Places = dict.fromkeys(after)
    apply(connection, before, after)
    return record(connection, production, DAY_AGAIN, words, before, after, by=by, once=once)
