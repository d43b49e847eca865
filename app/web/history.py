"""Who changed what, and when; what a person changed can be taken back here."""

from datetime import datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Request
from fastapi.responses import Response
from sqlalchemy import Connection

from app.storage.changes.undo import EDITS, first_in_reach, steps
from app.storage.engine import reading
from app.storage.queries.history import PAGE, ChangeRow, change_numbered, history
from app.storage.queries.kitchens import changes_elsewhere
from app.web.page import answer
from app.web.seen import see, who

router = APIRouter(prefix="/productions/{id}/history")


class Line(NamedTuple):
    """One change as it is listed: when, in words, and its number; 0 where it is another's."""

    at: str
    words: str
    n: int


@router.get("")
def changes(request: Request, id: int, before: int = 0) -> Response:
    """List the changes of a production, the newest first."""
    seen = see(id)
    with reading() as conn:
        rows = history(conn, id, before or None)
        newest = history(conn, id, most=1)
        lines = _with_elsewhere(conn, id, rows, before)
        known, reach = steps(conn, id, who(request)), first_in_reach(conn, id)
    taken = {row.n for row in known.again}
    return answer(
        request,
        "history/page.html",
        "history/_part.html",
        seen=seen,
        production=seen.production,
        rows=[(line, _local(line.at, seen.production.timezone)) for line in lines],
        newest=newest[0].n if newest else 0,
        open_to={row.n for row in rows if row.n >= reach and row.what in EDITS} - taken,
        earlier=rows[-1].n if len(rows) == PAGE else 0,
        steps=known,
    )


def _with_elsewhere(
    connection: Connection, production: int, rows: list[ChangeRow], before: int
) -> list[Line]:
    """Return a page of changes with those of its kitchen that other productions made meanwhile."""
    if not rows:
        return []
    following = change_numbered(connection, production, before) if before else None
    lines = [Line(row.at, row.words, row.n) for row in rows]
    lines += [
        Line(each.at, each.words, 0)
        for each in changes_elsewhere(connection, production, since=rows[-1].at)
        if following is None or each.at < following.at
    ]
    return sorted(lines, key=lambda line: line.at, reverse=True)


def _local(at: str, timezone: str) -> str:
    """Return the moment of a change as the clocks of the production show it."""
    moment = datetime.fromisoformat(at.replace("Z", "+00:00")).astimezone(ZoneInfo(timezone))
    return moment.strftime("%Y-%m-%dT%H:%M")
