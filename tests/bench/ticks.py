"""How many ticks a second are acknowledged: by the log alone, and through the server.

`python -m tests.bench.ticks` ends within half a minute (some more where others work on the machine,
which it tells) and prints medians of three rounds, each beside a limit of the same round: what the
disk syncs, and what the same server process answers to a bare page (the smallest that it has,
without the store). The last ratio is of the two. It is a measurement and not a test.
"""

import asyncio
import json
import os
import signal
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import TypeVar

from app.planning.day import Day
from app.planning.plan import Batch, Bounds, Objective, Plan, PlannedPhase
from app.storage import log
from app.storage.changes.plans import publish_plan
from app.storage.changes.productions import add_production
from app.storage.engine import close_store, open_store, writing
from app.storage.ticks import AnyTick, tick_of
from tests.bench.spent import load, process_s
from tests.live import GOLDEN, Server

ROUNDS, BATCHES, CONNECTIONS = 3, 6_000, 32
# One part of a round asks for no more than so many ticks, and for no longer than so many seconds;
# a server that does not answer in time ends it all.
TICKS, LASTS_S, PATIENCE_S = BATCHES // (2 * ROUNDS), 1.0, 20
Sent = TypeVar("Sent")
AT = "2027-03-04T11:49"


def plan_of(batches: int) -> Plan:
    """Return a plan with so many batches of one copy; only their ids matter here."""
    phase = PlannedPhase(starts=AT, ends="2027-03-04T12:00")
    return Plan(
        status="feasible",
        objective=Objective(unmet=0, unbacked=0, cost=0, hands_min=0, waiting_min=0, early_min=0),
        bounds=Bounds(),
        batches=tuple(
            Batch(
                id=f"b{at}",
                demonstration="knots",
                stage="scaled",
                way="scale",
                copies=(f"knots/scaled/{at}",),
                phases=(phase,),
            )
            for at in range(batches)
        ),
    )


def fresh(folder: Path, name: str) -> int:
    """Open a new store with one planned production of `BATCHES` batches."""
    open_store(folder / f"{name}.sqlite")
    day = Day.model_validate(json.loads((GOLDEN / "knots.day.json").read_text("utf-8")))
    with writing() as connection:
        production = add_production(connection, day, by="bench", once="day")
    with writing() as connection:
        publish_plan(connection, production, plan_of(BATCHES), by="bench", once="plan")
    return production


def sent(at: int) -> dict[str, object]:
    """Return the tick that starts batch `at`."""
    return {"event": "started", "batch": f"b{at}", "once": f"k{at}", "by": "cook-1"}


def tick(at: int) -> AnyTick:
    """Return the same tick as the log takes it."""
    return tick_of(sent(at) | {"at": AT})


def for_a_while(each: Iterable[Sent]) -> Iterator[Sent]:
    """Yield what there is until the time of a measurement is over."""
    until = time.perf_counter() + LASTS_S
    for one in each:
        if time.perf_counter() > until:
            return
        yield one


def rate(work: Callable[[], int]) -> float:
    """Return how often a second; `work` returns how often."""
    began = time.perf_counter()
    return work() / (time.perf_counter() - began)


def syncs(folder: Path) -> float:
    """Return how many small synced writes a second the disk takes."""
    with (folder / "syncs").open("wb", buffering=0) as file:

        def write() -> None:
            file.write(b"x" * 4096)
            os.fdatasync(file.fileno())

        return rate(lambda: len([write() for _ in for_a_while(range(300))]))


def by_threads(production: int, first: int, threads: int) -> float:
    """Return ticks a second from batch `first` on, each of the threads waiting for each answer."""
    waiting = for_a_while(range(first, first + TICKS))
    turn = Lock()

    def append(_: int) -> int:
        count = 0
        while True:
            with turn:
                at = next(waiting, None)
            if at is None:
                return count
            log.append(production, [tick(at)])
            count += 1

    with ThreadPoolExecutor(threads) as pool:
        return rate(lambda: sum(pool.map(append, range(threads))))


async def flood(port: int, requests: Iterable[bytes]) -> int:
    """Send requests over `CONNECTIONS` kept connections, each waiting for its answers.

    Returns how many were answered.
    """
    waiting = for_a_while(requests)

    async def send() -> int:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        count = 0
        for request in waiting:
            writer.write(request)
            head = await reader.readuntil(b"\r\n\r\n")
            length = int(head.lower().split(b"content-length: ")[1].split(b"\r\n")[0])
            answer = await reader.readexactly(length)
            assert head.startswith(b"HTTP/1.1 200"), head
            assert b'"error"' not in answer, answer
            count += 1
        writer.close()
        return count

    async with asyncio.timeout(PATIENCE_S):
        return sum(await asyncio.gather(*(send() for _ in range(CONNECTIONS))))


def request(port: int, method: str, path: str, body: bytes = b"") -> bytes:
    """Return a request as a browser on this machine sends it."""
    lines = (
        f"{method} {path} HTTP/1.1",
        f"Host: 127.0.0.1:{port}",
        f"Origin: http://127.0.0.1:{port}",
        "Sec-Fetch-Site: same-origin",
        "Content-Type: application/json",
        f"Content-Length: {len(body)}",
    )
    return "\r\n".join(lines).encode() + b"\r\n\r\n" + body


@dataclass(frozen=True)
class Answers:
    """How many a second, and the milliseconds of processor that the server spends on each."""

    per_s: float
    each_ms: float


def answers(server: Server, requests: list[bytes]) -> Answers:
    """Ask the server for a while and return how it answered."""
    used_s, began = process_s(server.pid), time.perf_counter()
    count = asyncio.run(flood(server.port, requests))
    took_s = time.perf_counter() - began
    return Answers(count / took_s, 1000 * (process_s(server.pid) - used_s) / count)


def through_the_server(folder: Path, bare: str) -> Iterator[tuple[Answers, Answers]]:
    """Yield the answers to ticks and to a bare page of one server process, round after round."""
    production = fresh(folder, "stagelarder")
    close_store()
    with Server(folder) as server:
        page = request(server.port, "GET", bare)
        asyncio.run(flood(server.port, [page] * 200))
        path = f"/productions/{production}/ticks"
        for at in range(0, ROUNDS * TICKS, TICKS):
            bodies = [json.dumps([sent(each)]).encode() for each in range(at, at + TICKS)]
            ticks = [request(server.port, "POST", path, body) for body in bodies]
            yield answers(server, ticks), answers(server, [page] * TICKS)


def main(bare: str) -> None:
    """Print the medians."""
    # Whoever is asked to end tidies up.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    found: dict[str, list[float]] = {}
    ratios: list[tuple[float, float, float]] = []
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        production = fresh(here, "log")
        for at in range(0, BATCHES, 2 * TICKS):
            told = {
                "syncs of the disk": syncs(here),
                "log, one thread": by_threads(production, at, 1),
                f"log, {CONNECTIONS} threads": by_threads(production, at + TICKS, CONNECTIONS),
            }
            for name, value in told.items():
                found.setdefault(name, []).append(value)
        close_store()
        for ticks, pages in through_the_server(here, bare):
            found.setdefault("ticks through the server", []).append(ticks.per_s)
            found.setdefault(f"bare page {bare}", []).append(pages.per_s)
            ratios.append((ticks.per_s / pages.per_s, ticks.each_ms, pages.each_ms))
    for each, values in found.items():
        print(f"{each:28} {statistics.median(values):8.0f} a second")
    by_clock, tick_ms, page_ms = (statistics.median(each) for each in zip(*ratios, strict=True))
    print(f"{'ticks to a bare page':28} {by_clock:8.2f}   {load()}")
    print(f"the server's processor       {tick_ms:8.2f} ms a tick, {page_ms:.2f} ms a bare page")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "/join")
