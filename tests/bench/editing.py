"""What an edit costs: `python -m tests.bench.editing [demonstrations] [edits]`.

A server in a process of its own, with a production of that many demonstrations: from a field that
is left to the answer that it is saved (durably), what is drawn beside it, and the rough count of
each demonstration. Medians and the slowest of a hundred, in milliseconds, and before them how long
this machine takes for one durable write just now.
"""

import json
import os
import re
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from html import unescape
from pathlib import Path
from statistics import quantiles
from urllib.parse import urlencode
from urllib.request import Request, urlopen

from app.planning.reading import read_day
from app.planning.rough import _counted, rough_count
from app.storage.changes.productions import add_production
from app.storage.engine import close_store, open_store, writing
from tests.bench.productions import production
from tests.live import Server


def main(demonstrations: int = 12, edits: int = 200) -> None:
    """Tell the figures."""
    day = read_day(production(demonstrations, 1))
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder)
        open_store(data / "stagelarder.sqlite")
        with writing() as conn:
            id = add_production(conn, day, by="bench", once="bench")
        close_store()
        _tell("one durable write", [_timed(partial(_write, data / "w")) for _ in range(edits)])
        with Server(data) as server:
            page = f"{server.url}/productions/{id}/demonstrations/{day.demonstrations[0].id}"
            _edits(server.url, id, page, edits)
    print(f"load of the last minute: {os.getloadavg()[0]:.1f}")
    rough_count(day, day.demonstrations[-1].id)
    for what, in_haste in (("shown at first", True), ("wholly proven", False)):
        for name, clock in (("processor", time.process_time), ("clock", time.perf_counter)):
            _counted.cache_clear()
            ids = [each.id for each in day.demonstrations]
            counts = [partial(rough_count, day, each, in_haste=in_haste) for each in ids]
            _tell(f"rough count, {what}, by the {name}", [_timed(each, clock) for each in counts])


def _edits(url: str, id: int, page: str, edits: int) -> None:
    text = unescape(_text(page))
    cells = re.findall(
        r'data-place="(stages/\d+)" data-field="keeps_min" data-began="(\[.*?\])"', text
    )
    saved, beside = [], []
    for n in range(edits):
        place, began = cells[n % len(cells)]
        sent = {"place": place, "field": "keeps_min", "text": f"{100 + n} min", "began": began}
        address, started = f"{url}/productions/{id}/edit/fill", time.perf_counter()
        answer = _text(address, sent | {"once": f"b{n}"})
        saved.append((time.perf_counter() - started) * 1000)
        cells[n % len(cells)] = (place, json.loads(answer)["began"])
        if n % 10 == 0:
            beside.append(_timed(partial(_text, f"{page}/beside")))
    _tell("from a field that is left to saved", saved)
    _tell("what is drawn beside it", beside)


def _text(address: str, sent: dict[str, str] | None = None) -> str:
    origin = "/".join(address.split("/")[:3])
    headers = {"Origin": origin, "Accept": "application/json", "HX-Request-Type": "partial"}
    body = None if sent is None else urlencode(sent).encode()
    with urlopen(Request(address, body, headers), timeout=60) as answer:
        return str(answer.read().decode())


def _write(file: Path) -> None:
    with file.open("ab") as out:
        out.write(b"x" * 4096)
        out.flush()
        os.fsync(out.fileno())


def _timed(work: Callable[[], object], clock: Callable[[], float] = time.perf_counter) -> float:
    began = clock()
    work()
    return (clock() - began) * 1000


def _tell(what: str, times_ms: list[float]) -> None:
    cuts = quantiles(times_ms, n=100, method="inclusive")
    print(f"{what}: p50 {cuts[49]:.1f} ms, p99 {cuts[98]:.1f} ms, of {len(times_ms)}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
