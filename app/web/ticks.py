"""Ticks: a list of events goes in, each is stored once and answered by itself."""

import asyncio
import json
from typing import Any
from weakref import WeakKeyDictionary

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from app.planning.minutes import MINUTE_S, Clock
from app.storage import news
from app.storage.engine import Store, opened, reading
from app.storage.log import Outcome, submit
from app.storage.queries.productions import timezone_of
from app.storage.refusals import StoreTrouble
from app.storage.ticks import AnyTick, TickRefused, tick_of
from app.web.errors import Told
from app.web.floor import now_s

router = APIRouter()
MOST_BYTES = 1_000_000
MOST_TICKS = 500
LONGEST_AGO_S = 60 * 24 * 60 * 60
SOMEBODY = "somebody"
NOT_A_LIST = "Ticks are sent as a JSON list of events, each an object with a “once” key."
_clocks: WeakKeyDictionary[Store, dict[int, Clock]] = WeakKeyDictionary()


@router.post("/productions/{id}/ticks")
async def tick(request: Request, id: int) -> JSONResponse:
    """Store ticks, several to a synced commit, and answer each with its number or a sentence."""
    sent = await _list(request)
    clock = _known(id)
    if clock is None:
        clock = await asyncio.to_thread(_clock, id)
    minute = now_s(request)
    read = [_read(each, clock, minute, request.state.person) for each in sent]
    good = [each for each in read if not isinstance(each, str)]
    try:
        stored: list[Outcome] = await asyncio.wrap_future(submit(id, good))
    except StoreTrouble as trouble:
        raise Told(503, trouble.words) from trouble
    following = iter(stored)
    outcomes = [each if isinstance(each, str) else next(following) for each in read]
    answers = [_answer(each, outcome) for each, outcome in zip(sent, outcomes, strict=True)]
    return JSONResponse({"answers": answers}, headers={"Cache-Control": "no-store"})


async def _list(request: Request) -> list[Any]:
    """Return the list that was sent, or tell what is wrong with it."""
    body = bytearray()
    async for part in request.stream():
        body += part
        if len(body) > MOST_BYTES:
            raise Told(413, "These are more ticks than can be sent at once.")
    try:
        sent = json.loads(body.decode(), parse_constant=_no_number)
    except (ValueError, RecursionError) as error:
        raise Told(422, NOT_A_LIST) from error
    if not isinstance(sent, list):
        raise Told(422, NOT_A_LIST)
    if len(sent) > MOST_TICKS:
        raise Told(413, f"At most {MOST_TICKS} ticks can be sent at once; these are {len(sent)}.")
    return sent


def _no_number(text: str) -> float:
    raise ValueError(text)


def _known(id: int) -> Clock | None:
    """Return the clock of a production that was ticked before, without asking the store."""
    return _clocks.setdefault(opened(), {}).get(id)


def _clock(id: int) -> Clock:
    with reading() as conn:
        clock = Clock(timezone_of(conn, id))
    _clocks.setdefault(opened(), {})[id] = clock
    return clock


def _forget(told: news.News) -> None:
    """Forget the clock of a production that was changed or removed."""
    if told.kind != "ticks":
        for clocks in list(_clocks.values()):
            clocks.pop(told.production, None)


def _read(sent: Any, clock: Clock, now: float, person: str) -> AnyTick | str:
    """Return the tick that was sent, or a sentence about what is wrong with it.

    A phone says how long ago it was tapped, not when: its clock may be wrong. Who holds the
    phone is known from its pass; only where nobody is asked, the page says whose list it is.
    """
    if not isinstance(sent, dict):
        return NOT_A_LIST
    if not _is_whole(sent):
        return "A text of this tick ends in the middle of a letter, so it cannot be kept."
    told = {str(name): value for name, value in sent.items() if name not in ("ago_s", "n")}
    ago_s = sent.get("ago_s", 0)
    if isinstance(ago_s, bool) or not isinstance(ago_s, int | float):
        return "How long ago this was ticked (ago_s) must be a number of seconds."
    tapped = now - min(max(ago_s, 0), LONGEST_AGO_S)
    told["at"] = clock.text(int(tapped) // MINUTE_S)
    told["by"] = person or told.get("by") or SOMEBODY
    try:
        return tick_of(told)
    except TickRefused as refused:
        return refused.words


def _is_whole(sent: dict[str, Any]) -> bool:
    """Return whether every text can be stored: JSON can hold one half of a letter of two."""
    try:
        json.dumps(sent, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        return False
    return True


def _answer(sent: Any, outcome: object) -> dict[str, Any]:
    said = sent.get("once") if isinstance(sent, dict) else None
    once = said.encode(errors="replace").decode() if isinstance(said, str) else None
    if isinstance(outcome, int):
        return {"once": once, "n": outcome}
    return {"once": once, "error": outcome if isinstance(outcome, str) else str(outcome)}


news.listen(_forget)
