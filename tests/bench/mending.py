"""How long it takes to mend a plan: `python -m tests.bench.mending DAY PLAN [SEEDS]`.

From the same published plan, many days: each goes as planned up to some minute, then one accident
happens, and the plan is mended and audited. Prints a line an accident, then the middle, the ninth
of ten and the worst of each kind. Seconds are of the processor, so that others may work on the
machine meanwhile. It is a measurement and not a test.
"""

import math
import random
import statistics
import sys
import time
from pathlib import Path

from app.exchange.dayfile import load_day, load_plan
from app.planning.audit import audit
from app.planning.day import Day
from app.planning.mending import mend
from app.planning.plan import Plan
from app.planning.replan import replan
from tests.random_accidents import Walk

SEEDS = 5
BEFORE_THE_FIRST_MIN = 30
OF_THE_CREW = (
    "a batch starts late",
    "a batch takes long",
    "a batch is told to take longer",
    "a batch is staged early",
    "copies are lost",
    "a run moves",
    "a run is added",
    "a run is dropped",
    "an item is down",
    "a cook goes",
)


def after(day: Day, plan: Plan, accident: str, seed: int) -> Walk | None:
    """Return a day on which one accident has happened; None if it could not.

    Parameters
    ----------
    day, plan
        The published plan and its day.
    accident
        Its name.
    seed
        The minute, and what happens, are drawn from it.
    """
    walk = Walk(day, plan, random.Random(f"{accident}/{seed}"))
    walk.is_lucky = True
    starts = [walk.clock.minute(batch.starts) for batch in plan.batches]
    first = min(starts) - BEFORE_THE_FIRST_MIN
    until = walk.roll.randint(first, max(starts))
    for minute, kind, batch in _as_planned(walk):
        if minute <= until:
            walk.now = minute
            walk.tell(kind, batch=batch)
    walk.now = until
    return walk if walk.accidents[accident](walk.state()) else None


def _as_planned(walk: Walk) -> list[tuple[int, str, str]]:
    """Return when each batch is started and staged as planned, in order of time."""
    clock, told = walk.clock, []
    for batch in walk.plan.batches:
        told.append((clock.minute(batch.starts), "started", batch.id))
        told.append((clock.minute(batch.phases[-1].ends), "staged", batch.id))
    return sorted(told, key=lambda each: (each[0], each[1] == "started", each[2]))


def mended_s(walk: Walk) -> tuple[float, str]:
    """Return the seconds of the processor that mending takes, and what came of it in words."""
    now, begun = walk.clock.text(walk.now), time.process_time()
    mended = replan(walk.day, walk.plan, walk.events, now, mend)
    took_s = time.process_time() - begun
    breaches = audit(mended.day, mended.plan, walk.events, now)
    said = f"{mended.weight} changes, {mended.plan.objective.unmet} copies short, "
    said += f"{mended.plan.objective.unbacked} backups, {len(breaches)} breaches"
    return took_s, said


def main() -> None:
    """Measure every kind of accident."""
    day = load_day(Path(sys.argv[1]).read_bytes())
    plan = load_plan(Path(sys.argv[2]).read_bytes())
    seeds = int(sys.argv[3]) if len(sys.argv) > 3 else SEEDS
    every: list[float] = []
    for accident in OF_THE_CREW:
        took: list[float] = []
        for seed in range(seeds):
            walk = after(day, plan, accident, seed)
            if walk is not None:
                took_s, said = mended_s(walk)
                took.append(took_s)
                print(f"{accident:24} {seed:2} {took_s:6.2f} s  {said}", flush=True)
        if took:
            print(f"{accident:30} {spread(took)}", flush=True)
        every += took
    print(f"all: {spread(every)}")


def spread(took_s: list[float]) -> str:
    """Return the middle of some seconds, what nine of ten keep within, and the worst, in words."""
    middle, in_order = statistics.median(took_s), sorted(took_s)
    ninth = in_order[min(len(in_order) - 1, math.ceil(0.9 * len(in_order)) - 1)]
    worst = f"worst {in_order[-1]:.2f} s of {len(in_order)}"
    return f"middle {middle:.2f} s, nine of ten within {ninth:.2f} s, {worst}"


if __name__ == "__main__":
    main()
