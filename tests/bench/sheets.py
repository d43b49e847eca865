"""How long a spreadsheet of 40 demonstrations takes: `python -m tests.bench.sheets`.

Each line is the median of five, and what it is to reading the same day as JSON. One spreadsheet is
this program's own, of a generated production; the other is a breakdown as somebody would have it, a
row a step, with its columns guessed. It is a measurement and not a test.
"""

import statistics
import tempfile
import time
from collections.abc import Callable
from functools import partial
from itertools import count
from pathlib import Path

from app.exchange.breakdown import read_breakdown
from app.exchange.dayfile import load_day
from app.exchange.meanings import guessed
from app.exchange.separated import dump_separated
from app.exchange.sheets import Cells, Sheet
from app.exchange.spreadsheet import day_of_sheets, load_sheets, sheets_of
from app.exchange.workbook import dump_workbook
from app.planning.canonical import canonical
from app.planning.day import Day, Demonstration
from app.planning.reading import read_day
from app.storage.changes.demonstrations import add_demonstrations
from app.storage.engine import close_store, open_store, writing
from app.storage.translate import store_day
from tests.bench.productions import production

DEMONSTRATIONS, SEED, ROUNDS = 40, 1, 5
HEADS = ("Dish", "Stage", "What to do", "Minutes", "Hands", "Keeps", "Ingredient", "Amount", "Unit")


def main() -> None:
    """Measure and print a line each."""
    day = read_day(production(DEMONSTRATIONS, SEED))
    own, mine = sheets_of(day), [breakdown(day)]
    stages = sum(len(each.stages) for each in day.demonstrations)
    print(f"{DEMONSTRATIONS} demonstrations, {stages} stages; {len(mine[0].rows)} rows by hand")
    base_s = median(lambda: load_day(canonical(day)))
    print(f"{'day file read':34} {base_s * 1000:8.0f} ms")
    for kind, write in (("xlsx", dump_workbook), ("csv", dump_separated)):
        show(f"own {kind} written", median(partial(write, own)), base_s)
        show(f"own {kind} read to a day", median(partial(back, write(own))), base_s)
        show(f"breakdown {kind} read", median(partial(read, write(mine))), base_s)
    with tempfile.TemporaryDirectory() as folder:
        open_store(Path(folder) / "stagelarder.sqlite")
        show("stored as one change", median(adding(day, read(dump_separated(mine)))), base_s)
        close_store()


def breakdown(day: Day) -> Sheet:
    """Return a day's demonstrations as a row a phase or ingredient, as a spreadsheet has them."""
    rows: list[Cells] = [HEADS]
    for shown in day.demonstrations:
        for stage in shown.stages:
            keeps = stage.keeps_min
            for phase in (phase for way in stage.ways[:1] for phase in way.phases):
                lasts, name = phase.length_min(1), stage.called
                rows.append((shown.title, name, phase.does, lasts, phase.hands, keeps))
            for each in stage.ingredients:
                cells = (each.name, each.amount, each.unit)
                rows.append((shown.title, stage.called, None, None, None, None, *cells))
    return Sheet("Breakdown", tuple(rows))


def back(data: bytes) -> Day:
    """Return the day of this program's own spreadsheet."""
    return day_of_sheets(load_sheets(data))


def read(data: bytes) -> list[Demonstration]:
    """Return the demonstrations of somebody's breakdown."""
    (sheet,) = load_sheets(data)
    meanings = guessed(sheet.rows[0])
    return [each.demonstration for each in read_breakdown(sheet, 0, meanings, "x").beginnings]


def adding(day: Day, shown: list[Demonstration]) -> Callable[[], object]:
    """Return what adds demonstrations to a fresh production, once a call."""
    numbers = count()
    empty = day.model_copy(update={"demonstrations": (), "runs": (), "stock": ()})

    def add() -> None:
        number = next(numbers)
        with writing() as conn:
            into = store_day(conn, empty)
            add_demonstrations(conn, into, shown, source="x", by="bench", once=f"bench-{number}")

    return add


def median(call: Callable[[], object]) -> float:
    """Return the median seconds of some calls."""
    took_s = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        call()
        took_s.append(time.perf_counter() - began)
    return statistics.median(took_s)


def show(called: str, took_s: float, base_s: float) -> None:
    """Print a line."""
    print(f"{called:34} {took_s * 1000:8.0f} ms {took_s / base_s:7.1f} x the day file")


if __name__ == "__main__":
    main()
