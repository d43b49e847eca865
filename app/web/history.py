"""Who changed what, and when; what a person changed can be taken back here."""

from datetime import datetime
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.storage.changes.undo import EDITS, first_in_reach, steps
from app.storage.engine import reading
from app.storage.queries.history import PAGE, history
from app.web.page import answer
from app.web.seen import see, who

router = APIRouter(prefix="/productions/{id}/history")


@router.get("")
def changes(request: Request, id: int, before: int = 0) -> Response:
    """List the changes of a production, the newest first."""
    seen = see(id)
    with reading() as conn:
        rows = history(conn, id, before or None)
        newest = history(conn, id, most=1)
        known, reach = steps(conn, id, who(request)), first_in_reach(conn, id)
    taken = {row.n for row in known.again}
    return answer(
        request,
        "history/page.html",
        "history/_part.html",
        seen=seen,
        production=seen.production,
        rows=[(row, _local(row.at, seen.production.timezone)) for row in rows],
        newest=newest[0].n if newest else 0,
        open_to={row.n for row in rows if row.n >= reach and row.what in EDITS} - taken,
        earlier=rows[-1].n if len(rows) == PAGE else 0,
        steps=known,
    )


def _local(at: str, timezone: str) -> str:
    """Return the moment of a change as the clocks of the production show it."""
    moment = datetime.fromisoformat(at.replace("Z", "+00:00")).astimezone(ZoneInfo(timezone))
    return moment.strftime("%Y-%m-%dT%H:%M")
