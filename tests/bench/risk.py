"""How long plays take: `python -m tests.bench.risk` plays the studio example ten thousand times.

`python -m tests.bench.risk DAY PLAN` plays another day. Beside the seconds stands a ratio that a
busy machine changes little: the median of five runs to that of drawing as many lognormal lengths
alone. It is a measurement and not a test; nobody else should work on the machine meanwhile.
"""

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from app.exchange.dayfile import load_day, load_plan
from app.planning.auditing.ledger import Ledger
from app.planning.risk.chances import PLAYS, risk_of
from app.planning.risk.outline import picture_of
from tests.live import ROOT

ROUNDS = 5
EXAMPLE = [ROOT / "seed_demo" / f"studio.{each}.json" for each in ("day", "plan")]


def main(day_file: Path, plan_file: Path) -> None:
    """Print the size of the plan, the seconds of each part, and the ratio."""
    day, plan = load_day(day_file.read_bytes()), load_plan(plan_file.read_bytes())
    picture = picture_of(Ledger(day, plan))
    events, copies = len(picture.events), len(picture.names)
    print(f"{len(picture.tasks)} phases, {copies} copies, {len(picture.servings)} needs")
    whole_s = _median_s(lambda: risk_of(day, plan))
    drawing_s = _median_s(lambda: _lengths(len(picture.tasks)))
    print(
        f"{PLAYS} plays, with one more backup and ten minutes more: {whole_s:.2f} s, "
        f"{1e6 * whole_s / events:.0f} µs an event, {whole_s / drawing_s:.1f} times the drawing "
        f"of its lengths"
    )


def _median_s(work: Callable[[], object]) -> float:
    took_s: list[float] = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        work()
        took_s.append(time.perf_counter() - began)
    return statistics.median(took_s)


def _lengths(phases: int) -> object:
    return np.random.default_rng(1).lognormal(sigma=0.1, size=(phases, PLAYS))


if __name__ == "__main__":
    given = [Path(each) for each in sys.argv[1:3]]
    main(*(given or EXAMPLE))
