"""Changes are taken back, and made again, the last hundred of a production.

Taking back is a change as well, and is not counted: all hundred can be taken back, one by one.
"""

from collections.abc import Sequence
from typing import NamedTuple

from sqlalchemy import Connection

from app.storage.changes import fields, remedied, run_days, runs, structure
from app.storage.changes.applying import TYPED, apply, holds
from app.storage.changes.mentions import mentions
from app.storage.changes.record import Change, Places, record, repeated
from app.storage.parts import Place, with_all_below
from app.storage.queries.history import (
    ChangeRow,
    change_numbered,
    changes_since,
    nth_newest,
)
from app.storage.refusals import Conflict, NotThere, Refusal

TAKEN_BACK, MADE_AGAIN = "taken back", "made again"
REACH = 100
EDITS = frozenset(
    {
        fields.FILLED,
        fields.PASTED,
        structure.ADDED,
        structure.DUPLICATED,
        structure.SHIFTED,
        structure.DELETED,
        runs.MOVED,
        runs.MOVED_ALL,
        run_days.DAY_AGAIN,
        remedied.REMEDIED,
    }
)


class Steps(NamedTuple):
    """What one person can take back and make again, the next first."""

    back: tuple[ChangeRow, ...]
    again: tuple[ChangeRow, ...]


def steps(connection: Connection, production: int, by: str) -> Steps:
    """Return the changes of a person that can be taken back, and made again."""
    return _steps(
        changes_since(connection, production, first_in_reach(connection, production) - 1), by
    )


def first_in_reach(connection: Connection, production: int) -> int:
    """Return the number of the first change that can be taken back."""
    return nth_newest(connection, production, EDITS, REACH)


def _steps(newest_first: Sequence[ChangeRow], by: str) -> Steps:
    back: list[ChangeRow] = []
    again: list[ChangeRow] = []
    known = {row.n: row for row in newest_first}
    for row in reversed(newest_first):
        if row.by != by or row.what not in {*EDITS, TAKEN_BACK, MADE_AGAIN}:
            continue
        if row.what == TAKEN_BACK:
            back = [each for each in back if each.n != row.undoes]
            again += [known[row.undoes]] if row.undoes in known else []
        elif row.what == MADE_AGAIN:
            again = [each for each in again if each.n != row.undoes]
            back += [known[row.undoes]] if row.undoes in known else []
        else:
            back, again = [*back, row], []
    return Steps(tuple(reversed(back)), tuple(reversed(again)))


def take_back(connection: Connection, production: int, n: int, *, by: str, once: str) -> Change:
    """Undo change `n`: every place is again as it was before.

    Raises
    ------
    Conflict
        If what it changed has been changed since.
    NotThere
        If there is no such change among the last hundred.
    Refusal
        If it is none that can be taken back.
    """
    if first := repeated(connection, once, TAKEN_BACK):
        return first
    change = _within_reach(connection, production, n)
    turn = _Turn(TAKEN_BACK, "took back", change.after, change.before)
    return _turned(connection, production, change, turn, by=by, once=once)


def make_again(connection: Connection, production: int, n: int, *, by: str, once: str) -> Change:
    """Make change `n` again, after it was taken back. Raises as `take_back` does."""
    if first := repeated(connection, once, MADE_AGAIN):
        return first
    change = _within_reach(connection, production, n)
    turn = _Turn(MADE_AGAIN, "made again", change.before, change.after)
    return _turned(connection, production, change, turn, by=by, once=once)


class _Turn(NamedTuple):
    """One way to turn a change: what the places hold now, and what they are to hold."""

    what: str
    did: str
    now: Places
    then: Places


def _turned(
    connection: Connection, production: int, change: ChangeRow, turn: _Turn, *, by: str, once: str
) -> Change:
    _refuse_changed(connection, production, change, turn.now)
    _refuse_mentioned(connection, production, turn.then)
    apply(connection, turn.now, turn.then)
    return record(
        connection,
        production,
        turn.what,
        f"{by} {turn.did}: {change.words}",
        turn.now,
        turn.then,
        by=by,
        once=once,
        undoes=change.n,
    )


def _refuse_mentioned(connection: Connection, production: int, leaves: Places) -> None:
    """Refuse to take rows away that others lie below or speak of, such as the runs of a dish."""
    keys = [key for key, row in leaves.items() if row is None and not key.startswith(TYPED)]
    goes = {place for place in map(Place.read, keys) if place is not None}
    for place in goes:
        rows = with_all_below(connection, place)
        if rows:
            spoken = mentions(connection, production, place, rows)[0]
            if (rows.keys() | spoken.keys()) - goes:
                raise Refusal(
                    "Since then, something else has been added that needs this. Nothing was "
                    "changed; delete it instead, which takes all along and can be taken back."
                )


def _within_reach(connection: Connection, production: int, n: int) -> ChangeRow:
    change = change_numbered(connection, production, n)
    if change is None or n < first_in_reach(connection, production):
        raise NotThere(f"Only the last {REACH} changes can be taken back. Nothing was changed.")
    if change.what not in EDITS:
        raise Refusal("This is no change of a field or a row, so it can't be taken back here.")
    return change


def _refuse_changed(
    connection: Connection, production: int, change: ChangeRow, said: Places
) -> None:
    place = holds(connection, said)
    if place is None:
        return
    later = (
        each
        for each in changes_since(connection, production, change.n)
        if any(key.endswith(place) for key in each.after)
    )
    last = next(later, None)
    why = f" {last.words}" if last else ""
    raise Conflict(
        f"What this changed has been changed since.{why} Nothing was taken back; "
        "take the later change back first, or fill it in by hand.",
        field="",
        theirs=last.n if last else None,
        yours=change.n,
        by=last.by if last else "",
    )
