"""What just happened is told to every open page, and what a page missed when it comes back."""

import asyncio
import json
import signal
import time
from collections.abc import AsyncIterator, Awaitable, Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.plans import publish_plan
from app.storage.engine import writing
from app.storage.log import append
from app.storage.ticks import tick_of
from app.web import live
from app.web.live import Live, _difference
from tests.live import Server, stored

AT = "2027-03-04T11:52"
Told = dict[str, Any]


def tick(event: str, batch: str, once: str) -> Any:
    """Return a tick by Ada."""
    return tick_of({"event": event, "batch": batch, "once": once, "by": "Ada", "at": AT})


def listening(
    production: int, since: int, plan: int, then: Callable[["Page"], Awaitable[None]]
) -> None:
    """Open one page's stream in a loop of its own and do something with it."""

    async def story() -> None:
        opened = Live(asyncio.get_running_loop())
        try:
            await then(Page(opened, opened.stream(production, since, plan)))
        finally:
            opened.close()

    asyncio.run(asyncio.wait_for(story(), 20))


class Page:
    """A page that listens."""

    def __init__(self, live: Live, frames: AsyncIterator[str]) -> None:
        self.live, self.frames = live, frames

    async def hears(self) -> Told:
        """Return the next message."""
        async for frame in self.frames:
            if "data: {" in frame:
                told: Told = json.loads(frame.split("data: ", 1)[1])
                return told
        raise AssertionError("the stream ended")


@pytest.fixture
def production(store: Path, knots_day: Day, knots_plan: Plan) -> int:
    """Return the knots in a store, planned."""
    return stored(knots_day, knots_plan)


def test_a_page_hears_a_tick_of_another(production: int) -> None:
    async def story(page: Page) -> None:
        assert (await page.hears())["n"] == 0
        await asyncio.to_thread(append, production, [tick("started", "b1", "k1")])
        told = await page.hears()
        assert told["n"] == 1
        assert told["changed"]["b1"]["state"] == "started"
        assert told["changed"]["b1"]["by"] == "Ada"

    listening(production, 0, 1, story)


def test_a_page_that_comes_back_hears_what_it_missed(production: int) -> None:
    append(production, [tick("started", "b1", "k1"), tick("staged", "b1", "k2")])

    async def story(page: Page) -> None:
        told = await page.hears()
        assert told["n"] == 2
        assert told["batches"]["b1"]["state"] == "staged"

    listening(production, 1, 1, story)


def test_a_page_that_missed_nothing_is_told_only_that(production: int) -> None:
    append(production, [tick("started", "b1", "k1")])

    async def story(page: Page) -> None:
        assert "batches" not in await page.hears()

    listening(production, 1, 1, story)


def test_every_page_hears_of_a_new_plan(production: int, knots_plan: Plan) -> None:
    async def story(page: Page) -> None:
        await page.hears()

        def publish() -> None:
            with writing() as conn:
                publish_plan(conn, production, knots_plan, by="Ada", once="second-plan")

        await asyncio.to_thread(publish)
        assert (await page.hears())["plan"] == 2

    listening(production, 0, 1, story)


def test_many_ticks_at_once_are_read_once_or_twice(
    production: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A page is told what holds in the end, however many ticks led there."""
    read, batches = live._read, [f"b{at}" for at in range(1, 5)]
    reads: list[int] = []

    def slowly(id: int) -> Any:
        reads.append(id)
        time.sleep(0.2)
        return read(id)

    async def story(page: Page) -> None:
        await page.hears()
        monkeypatch.setattr(live, "_read", slowly)
        for batch in batches:
            append(production, [tick("started", batch, f"started {batch}")])
            append(production, [tick("staged", batch, f"staged {batch}")])
        changed: Told = {}
        while any(changed.get(batch, {}).get("state") != "staged" for batch in batches):
            changed |= (await page.hears())["changed"]
        assert len(reads) < len(batches)

    listening(production, 0, 1, story)


def test_what_is_taken_back_is_told_as_planned_again(production: int) -> None:
    append(production, [tick("started", "b1", "k1")])
    undone = tick_of({"event": "undone", "undoes": 1, "once": "u1", "by": "Ada", "at": AT})

    async def story(page: Page) -> None:
        await page.hears()
        await asyncio.to_thread(append, production, [undone])
        assert (await page.hears())["changed"] == {"b1": None}

    listening(production, 1, 1, story)


def test_a_stream_ends_when_the_server_does(production: int) -> None:
    async def story(page: Page) -> None:
        await page.hears()
        page.live.close()
        left = [frame async for frame in page.frames]
        assert len(left) <= 1

    listening(production, 0, 1, story)


def test_a_page_that_leaves_is_forgotten(production: int) -> None:
    async def story(page: Page) -> None:
        await page.hears()
        assert page.live.streams == 1
        await page.frames.aclose()  # type: ignore[attr-defined]
        assert page.live.streams == 0
        assert page.live.channels == {}

    listening(production, 0, 1, story)


def test_only_what_changed_is_told() -> None:
    rest: dict[str, Any] = {"lost": {}, "unknown": 0, "marks": {}}
    before = rest | {"plan": 1, "n": 1, "batches": {"a": 1, "b": 2}}
    now = rest | {"plan": 1, "n": 2, "batches": {"a": 1, "b": 3, "c": 4}}
    assert _difference(before, now)["changed"] == {"b": 3, "c": 4}
    assert _difference(now, now) == {}


def messages(answer: httpx.Response) -> Iterator[tuple[str, Told]]:
    """Yield the id and the content of each message of a stream."""
    id = ""
    for line in answer.iter_lines():
        if line.startswith("id: "):
            id = line[4:]
        if line.startswith("data: {"):
            yield id, json.loads(line[6:])


def test_a_tick_over_http_is_heard_within_a_second_and_missed_ones_on_reconnect(
    server: Server,
) -> None:
    """The browser says the last number that it heard; the log answers from there."""
    address = f"{server.url}/productions/1"
    own = {"Origin": server.url}
    with httpx.stream("GET", f"{address}/live?since=0&plan=1", timeout=10) as answer:
        assert answer.headers["content-type"].startswith("text/event-stream")
        heard = messages(answer)
        assert next(heard)[0] == "0"
        sent = time.monotonic()
        started = {"event": "started", "batch": "b1", "once": "k1"}
        assert httpx.post(f"{address}/ticks", json=[started], headers=own).status_code == 200
        last, told = next(heard)
        assert time.monotonic() - sent < 1
        assert told["changed"]["b1"]["state"] == "started"
    staged = {"event": "staged", "batch": "b1", "once": "k2", "lost": []}
    httpx.post(f"{address}/ticks", json=[staged], headers=own)
    back = {"Last-Event-ID": last}
    with httpx.stream("GET", f"{address}/live?since=0&plan=1", headers=back, timeout=10) as answer:
        assert next(messages(answer))[1]["batches"]["b1"]["state"] == "staged"


def test_a_stream_of_no_production_is_refused(server: Server) -> None:
    """A page whose production was removed must not come back for ever."""
    assert httpx.get(f"{server.url}/productions/99/live").status_code == 404


def test_a_server_with_open_pages_ends_at_once(server: Server) -> None:
    """Ctrl-C must not wait for streams that never end by themselves."""
    with httpx.stream("GET", f"{server.url}/productions/1/live", timeout=10) as answer:
        next(messages(answer))
        process = server._process
        assert process is not None
        asked = time.monotonic()
        process.send_signal(signal.SIGTERM)
        process.wait(timeout=10)
        assert time.monotonic() - asked < 1.9
