"""What just happened, told to every open page: one stream a page, as server-sent events.

A page says the last number that it saw; what it missed is read from the log, and what follows
comes as it is stored. One reading serves all pages of a production. A page of the house, such as
the larder, hears what changes for the house; every other page hears that as well.
"""

import asyncio
import json
import signal
import threading
import time
from collections.abc import AsyncIterator, Callable
from types import FrameType
from typing import Annotated, Any

from fastapi import APIRouter, FastAPI, Header, Request
from starlette.responses import StreamingResponse

from app.storage import news
from app.storage.engine import reading
from app.storage.queries.plans import newest_number
from app.storage.queries.productions import production as production_row
from app.web.errors import Told
from app.web.floor import read_snapshot
from app.web.following import marks_of

router = APIRouter()
BEAT_S = 10.0
RETRY_MS = 2000
MOST_STREAMS = 1000
Snapshot = dict[str, Any]


class Channel:
    """The open pages of one production, and what they were told last."""

    def __init__(self, production: int) -> None:
        self.production = production
        self.pages: set[asyncio.Queue[str]] = set()
        self.said: Snapshot = {}
        self.turn = asyncio.Lock()
        self.is_due = False

    async def read(self) -> None:
        """Read what holds now and tell every page what is new of it."""
        async with self.turn:
            self.is_due = False
            now = await asyncio.to_thread(_read, self.production)
            told = _difference(self.said, now)
            self.said = now
        if told:
            for page in self.pages:
                page.put_nowait(_frame(now["n"], told))


class Live:
    """All channels of a server."""

    def __init__(self, loop: asyncio.AbstractEventLoop) -> None:
        self.loop = loop
        self.channels: dict[int, Channel] = {}
        self.is_closing = asyncio.Event()
        self._reading: set[asyncio.Task[None]] = set()
        self._stop = news.listen(self._hand_over)

    def _hand_over(self, told: news.News) -> None:
        self.loop.call_soon_threadsafe(self._heard, told)

    def _heard(self, told: news.News) -> None:
        of_all = told.production == news.HOUSE
        channels = self.channels.values() if of_all else [self.channels.get(told.production)]
        # A reading that waits for its turn will see this as well.
        for channel in [each for each in channels if each is not None and not each.is_due]:
            channel.is_due = True
            reading_now = self.loop.create_task(channel.read())
            self._reading.add(reading_now)
            reading_now.add_done_callback(self._reading.discard)

    def close(self) -> None:
        """Let every stream end, so that the server can."""
        self._stop()
        self.is_closing.set()

    async def stream(self, production: int, since: int, plan: int) -> AsyncIterator[str]:
        """Yield what a page missed, then what follows, and a beat when nothing does."""
        channel = self.channels.setdefault(production, Channel(production))
        page: asyncio.Queue[str] = asyncio.Queue()
        channel.pages.add(page)
        closing = self.loop.create_task(self.is_closing.wait())
        try:
            await channel.read()
            yield f"retry: {RETRY_MS}\n\n"
            yield _catch_up(channel.said, since, plan)
            while not closing.done():
                yield await _next(page, closing)
        finally:
            closing.cancel()
            channel.pages.discard(page)
            if not channel.pages:
                self.channels.pop(production, None)

    @property
    def streams(self) -> int:
        """Return how many pages listen."""
        return sum(len(channel.pages) for channel in self.channels.values())


@router.get("/productions/{id}/live", include_in_schema=False)
async def live(
    request: Request,
    id: int,
    since: int = 0,
    plan: int = 0,
    last_event_id: Annotated[str, Header()] = "",
) -> StreamingResponse:
    """Tell a page what happens in a production, from the last number that it saw."""
    await asyncio.to_thread(_is_there, id)
    return _stream(request, id, int(last_event_id) if last_event_id.isdecimal() else since, plan)


@router.get("/live", include_in_schema=False)
async def live_of_house(request: Request) -> StreamingResponse:
    """Tell a page that belongs to no production what changes for the house."""
    return _stream(request, news.HOUSE, 0, 0)


def _stream(request: Request, production: int, seen: int, plan: int) -> StreamingResponse:
    told = _live_of(request.app)
    if told.streams >= MOST_STREAMS:
        raise Told(503, "More screens are open than this server can tell at once.")
    headers = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}
    frames = told.stream(production, seen, plan)
    return StreamingResponse(frames, 200, headers, "text/event-stream")


def _is_there(id: int) -> None:
    with reading() as conn:
        production_row(conn, id)


def _read(id: int) -> Snapshot:
    """Return what holds: the snapshot of ticks, and the marks of all else that pages follow."""
    marks = marks_of(id)
    if id == news.HOUSE:
        return {"n": 0, "plan": 0, "marks": marks}
    with reading() as conn:
        return read_snapshot(conn, id, newest_number(conn, id)) | {"marks": marks}


async def _next(page: "asyncio.Queue[str]", closing: "asyncio.Task[bool]") -> str:
    """Return the next frame, a beat when none comes, or nothing when the server closes."""
    getting = asyncio.ensure_future(page.get())
    try:
        await asyncio.wait({getting, closing}, timeout=BEAT_S, return_when=asyncio.FIRST_COMPLETED)
        return getting.result() if getting.done() else "event: beat\ndata: 0\n\n"
    finally:
        getting.cancel()


def _catch_up(now: Snapshot, since: int, plan: int) -> str:
    """Return all that holds for a page that missed something, else only that it is connected."""
    is_new = now["n"] == since and now["plan"] == plan
    brief = {name: now[name] for name in ("n", "plan", "marks")}
    return _frame(now["n"], brief if is_new else now)


def _difference(before: Snapshot, now: Snapshot) -> Snapshot:
    """Return what is new: batches that changed, with null for those that are planned again."""
    if not before or before == now:
        return {}
    if before["plan"] != now["plan"] or "batches" not in now:
        return now
    old, new = before["batches"], now["batches"]
    gone: dict[str, Any] = dict.fromkeys(old.keys() - new.keys())
    changed = {batch: state for batch, state in new.items() if old.get(batch) != state}
    kept = {name: now[name] for name in ("n", "plan", "lost", "unknown", "marks")}
    return kept | {"changed": changed | gone}


def _frame(n: int, told: Snapshot) -> str:
    said = told | {"now": round(time.time() * 1000)}
    return f"id: {n}\ndata: {json.dumps(said, separators=(',', ':'))}\n\n"


def _live_of(app: FastAPI) -> Live:
    """Return the streams of an app; the first page that listens opens them."""
    loop = asyncio.get_running_loop()
    told: Live | None = getattr(app.state, "live", None)
    if told is None or told.loop is not loop:
        told = app.state.live = Live(loop)
        _close_on_signal(told)
    return told


def _close_on_signal(told: Live) -> None:
    """End the streams as soon as the server is asked to stop: it waits for them before it ends."""
    if threading.current_thread() is not threading.main_thread():
        return
    for number in (signal.SIGINT, signal.SIGTERM):
        before = signal.getsignal(number)
        if not callable(before):
            continue

        def asked(sent: int, frame: FrameType | None, then: Callable[..., Any] = before) -> None:
            told.loop.call_soon_threadsafe(told.close)
            then(sent, frame)

        signal.signal(number, asked)
