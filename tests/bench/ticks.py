"""How many ticks a second are acknowledged: by the log alone, and through the server.

`python -m tests.bench.ticks` prints medians of five rounds, each beside a limit of the same
round: what the disk syncs, and what the same server answers to a bare page. Nobody else should
work on the machine meanwhile. It is a measurement and not a test.
"""

import asyncio
import json
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from app.planning.day import Day
from app.planning.plan import Batch, Bounds, Objective, Plan, PlannedPhase
from app.storage import log
from app.storage.changes.plans import publish_plan
from app.storage.changes.productions import add_production
from app.storage.engine import close_store, open_store, writing
from app.storage.ticks import AnyTick, tick_of
from tests.live import GOLDEN, Server

ROUNDS, TICKS, CONNECTIONS = 5, 4_000, 32
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
    """Open a new store with one planned production of `TICKS` batches."""
    open_store(folder / f"{name}.sqlite")
    day = Day.model_validate(json.loads((GOLDEN / "knots.day.json").read_text("utf-8")))
    with writing() as connection:
        production = add_production(connection, day, by="bench", once="day")
    with writing() as connection:
        publish_plan(connection, production, plan_of(TICKS), by="bench", once="plan")
    return production


def sent(at: int) -> dict[str, object]:
    """Return the tick that starts batch `at`."""
    return {"event": "started", "batch": f"b{at}", "once": f"k{at}", "by": "cook-1"}


def tick(at: int) -> AnyTick:
    """Return the same tick as the log takes it."""
    return tick_of(sent(at) | {"at": AT})


def rate(count: int, work: Callable[[], object]) -> float:
    """Return how often a second."""
    began = time.perf_counter()
    work()
    return count / (time.perf_counter() - began)


def syncs(folder: Path) -> float:
    """Return how many small synced writes a second the disk takes."""
    with (folder / "syncs").open("wb", buffering=0) as file:

        def write() -> None:
            for _ in range(300):
                file.write(b"x" * 4096)
                os.fdatasync(file.fileno())

        return rate(300, write)


def by_threads(folder: Path, name: str, threads: int, count: int) -> float:
    """Return ticks a second, each of so many threads waiting for each answer."""
    production = fresh(folder, name)
    with ThreadPoolExecutor(threads) as pool:
        return rate(
            count,
            lambda: list(pool.map(lambda at: log.append(production, [tick(at)]), range(count))),
        )


async def flood(port: int, requests: list[bytes]) -> None:
    """Send requests over `CONNECTIONS` kept connections, each waiting for its answers."""
    waiting = iter(requests)

    async def send() -> None:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        for request in waiting:
            writer.write(request)
            head = await reader.readuntil(b"\r\n\r\n")
            assert head.startswith(b"HTTP/1.1 200"), head
            length = head.lower().split(b"content-length: ")[1].split(b"\r\n")[0]
            await reader.readexactly(int(length))
        writer.close()

    await asyncio.gather(*(send() for _ in range(CONNECTIONS)))


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


def through_the_server(folder: Path, name: str, bare: str) -> tuple[float, float]:
    """Return ticks and bare pages a second of one server process."""
    data = folder / name
    data.mkdir()
    production = fresh(data, "stagelarder")
    close_store()
    with Server(data) as server:
        path = f"/productions/{production}/ticks"
        ticks = [
            request(server.port, "POST", path, json.dumps([sent(at)]).encode())
            for at in range(TICKS)
        ]
        pages = [request(server.port, "GET", bare)] * TICKS
        asyncio.run(flood(server.port, pages[:200]))
        return (
            rate(TICKS, lambda: run(flood(server.port, ticks))),
            rate(TICKS, lambda: run(flood(server.port, pages))),
        )


def run(work: Awaitable[None]) -> None:
    """Run asynchronous work to its end."""
    asyncio.run(work)  # type: ignore[arg-type]


def main(bare: str) -> None:
    """Print the medians."""
    found: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory(dir=".") as folder:
        for at in range(ROUNDS):
            here = Path(folder)
            told = {
                "syncs of the disk": syncs(here),
                "log, one thread": by_threads(here, f"one-{at}", 1, 500),
                f"log, {CONNECTIONS} threads": by_threads(here, f"many-{at}", CONNECTIONS, TICKS),
            }
            ticks, pages = through_the_server(here, f"server-{at}", bare)
            told |= {"ticks through the server": ticks, f"bare page {bare}": pages}
            for name, value in told.items():
                found.setdefault(name, []).append(value)
    for name, values in found.items():
        print(f"{name:28} {statistics.median(values):8.0f} a second")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "/join")
