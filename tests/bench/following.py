"""How long after a tap every other screen shows it, durable write included; and page times.

`python -m tests.bench.following [DAY PLAN]` prints medians and 99th percentiles: of the time from
sending a tick to its arrival at each of many open streams, and of the pages that crew and producer
open most. It is a measurement and not a test; nobody else should work on the machine meanwhile.
"""

import asyncio
import json
import statistics
import sys
import tempfile
import time
from pathlib import Path

from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.engine import close_store, open_store
from tests.bench.ticks import request
from tests.live import GOLDEN, Server, stored

SCREENS, TICKS, PAUSE_S, VISITS = (1, 50, 200), 60, 0.02, 200
PAGES = ("count", "board", "board?day=all", "list", "pulls", "shelves")


async def screen(port: int, heard: dict[int, list[float]], ready: asyncio.Event) -> None:
    """Open a stream and note when each number arrives."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    writer.write(request(port, "GET", "/productions/1/live?since=0&plan=1"))
    try:
        while line := await reader.readline():
            if line.startswith(b"data: {"):
                ready.set()
                n = json.loads(line[6:])["n"]
                heard.setdefault(n, []).append(time.perf_counter())
    finally:
        writer.close()


async def tapped(port: int, batches: list[str], already: int) -> list[float]:
    """Send ticks one by one over one connection and return when each was sent, by its number."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    sent: list[float] = []
    for at in range(TICKS):
        batch = batches[at // 2 % len(batches)]
        number = already + at
        event = {"event": "started", "batch": batch, "once": f"k{number}"}
        if at % 2:
            event = {"event": "undone", "undoes_once": f"k{number - 1}", "once": f"k{number}"}
        body = json.dumps([event]).encode()
        sent.append(time.perf_counter())
        writer.write(request(port, "POST", "/productions/1/ticks", body))
        head = await reader.readuntil(b"\r\n\r\n")
        length = head.lower().split(b"content-length: ")[1].split(b"\r\n")[0]
        await reader.readexactly(int(length))
        await asyncio.sleep(PAUSE_S)
    writer.close()
    return sent


async def followed(port: int, batches: list[str], screens: int, already: int) -> list[float]:
    """Return the milliseconds from each tick to each screen."""
    heard: dict[int, list[float]] = {}
    ready = [asyncio.Event() for _ in range(screens)]
    streams = [asyncio.create_task(screen(port, heard, each)) for each in ready]
    await asyncio.gather(*(each.wait() for each in ready))
    sent = await tapped(port, batches, already)
    await asyncio.sleep(0.5)
    for stream in streams:
        stream.cancel()
    return [
        (arrived - sent[n - already - 1]) * 1000
        for n, times in heard.items()
        for arrived in times
        if already < n <= already + TICKS
    ]


async def visited(port: int, page: str) -> list[float]:
    """Return the milliseconds of each visit of a page."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    took: list[float] = []
    for _ in range(VISITS):
        began = time.perf_counter()
        writer.write(request(port, "GET", f"/productions/1/{page}"))
        head = await reader.readuntil(b"\r\n\r\n")
        assert head.startswith(b"HTTP/1.1 200"), head
        length = head.lower().split(b"content-length: ")[1].split(b"\r\n")[0]
        await reader.readexactly(int(length))
        took.append((time.perf_counter() - began) * 1000)
    writer.close()
    return took


def told(name: str, milliseconds: list[float]) -> None:
    """Print a median and a 99th percentile."""
    last = statistics.quantiles(milliseconds, n=100)[98]
    print(f"{name:34} p50 {statistics.median(milliseconds):7.1f} ms   p99 {last:7.1f} ms")


def main(day_file: Path, plan_file: Path) -> None:
    """Measure and print."""
    day = Day.model_validate_json(day_file.read_bytes())
    plan = Plan.model_validate_json(plan_file.read_bytes())
    batches = [batch.id for batch in plan.batches]
    with tempfile.TemporaryDirectory() as folder:
        open_store(Path(folder) / "stagelarder.sqlite")
        stored(day, plan)
        close_store()
        with Server(Path(folder)) as server:
            for at, screens in enumerate(SCREENS):
                took = asyncio.run(followed(server.port, batches, screens, at * TICKS))
                told(f"tick to {screens} other screens", took)
            for page in PAGES:
                named = f"{page}?cook={day.kitchen.crew[0].id}" if page == "list" else page
                told(f"page {page}", asyncio.run(visited(server.port, named)))


if __name__ == "__main__":
    asked = [Path(each) for each in sys.argv[1:]]
    main(*(asked or (GOLDEN / "knots.day.json", GOLDEN / "knots.plan.json")))
