"""A run that was dragged on the time line, or moved by a step, gets its new time."""

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from app.planning.minutes import Clock, NoSuchTime
from app.storage.changes.runs import move_run, move_run_and_all_after
from app.storage.engine import writing
from app.storage.refusals import Conflict
from app.web.errors import Told
from app.web.forms import Form
from app.web.rundown import WHICH, too_far
from app.web.seen import see, who
from app.web.sent import TOO_OLD
from app.web.underway import move_under_way

router = APIRouter(prefix="/productions/{id}/edit")
MOST_MIN = 2_880


@router.post("/shift")
def shift(request: Request, id: int, form: Form) -> Response:
    """Move a run, or it and all after it, by so many minutes from the start that was seen."""
    seen, run = see(id), form.text("run", least=1, most=48)
    by_min = form.whole("by", least=-MOST_MIN, most=MOST_MIN)
    which, began_from = form.choice("which", WHICH), form.text("seen", least=16, most=22)
    if form.faults:
        raise Told(422, TOO_OLD)
    starts = _later(Clock(seen.day.timezone), began_from, by_min)
    if why := too_far(seen.day, starts, run if which == "after" else ""):
        raise Told(422, why)
    if seen.plan is not None and seen.has_begun:
        move_under_way(request, id, run, starts, all_after=which == "after")
        return _told({"n": 0, "go": f"/productions/{id}/today"})
    mover, by = move_run if which == "one" else move_run_and_all_after, who(request)
    try:
        with writing() as conn:
            change = mover(conn, id, run, starts, began_from=began_from, by=by, once=form.once)
    except Conflict as clash:
        words = f"{clash.words} Move it from there all the same?"
        return _told({"error": words, "seen": clash.theirs}, 409)
    return _told({"n": change.n, "words": change.words})


def _later(clock: Clock, began_from: str, by_min: int) -> str:
    try:
        return clock.text(clock.minute(began_from) + by_min)
    except (NoSuchTime, ValueError) as why:
        raise Told(422, TOO_OLD) from why


def _told(said: dict[str, Any], status: int = 200) -> Response:
    return JSONResponse(said, status, headers={"Cache-Control": "no-store"})
