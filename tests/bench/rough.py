"""What a rough count costs: `python -m tests.bench.rough [demonstrations] [seeds] [first seed]`.

For each demonstration of some generated productions and of the two examples, by the processor and
by the clock: the count as it is shown at first, with its swap chart; and the rest where that is
only a bound. Before them how many counts are told as exact.
"""

import json
import os
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import quantiles
from typing import TypeVar

from app.planning.day import Day
from app.planning.reading import read_day
from app.planning.rough import Rough, _counted, kin_of, rough_count
from app.web.charts.swap import swap_chart
from tests.bench.productions import production

EXAMPLES = [
    Path(__file__).parents[2] / f"seed_demo/{name}.day.json" for name in ("class", "studio")
]
T = TypeVar("T")
Times = dict[str, list[tuple[float, float]]]


def drawn(day: Day, demonstration: str) -> Rough:
    """Return the count in haste, after its swap chart has been drawn."""
    rough = rough_count(day, demonstration, in_haste=True)
    if rough.supposed is not None:
        swap_chart(rough.supposed.day, rough.supposed.plan, demonstration, is_rough=True)
    return rough


def main(demonstrations: int = 12, seeds: int = 5, first_seed: int = 1) -> None:
    """Tell the figures."""
    drawn_from = range(first_seed, first_seed + seeds)
    days = [read_day(production(demonstrations, seed)) for seed in drawn_from]
    days += [read_day(json.loads(path.read_text("utf-8"))) for path in EXAMPLES]
    times: Times = {}
    states: Counter[str] = Counter()
    for day, shown in _families(days):
        _counted.cache_clear()
        first = _timed(times, "shown at first", drawn, day, shown)
        whole = first
        if first.state == "within":
            whole = _timed(times, "and then", rough_count, day, shown)
        states[f"{first.state} at first, {whole.state} in the end"] += 1
        if whole.state != "exact":
            print(f"{day.title}, {shown}: at least {whole.least}")
    print(*(f"{count} {state}" for state, count in states.items()), sep="\n")
    print(f"load of the last minute: {os.getloadavg()[0]:.1f}")
    for what, each in times.items():
        for at, by in enumerate(("processor", "clock")):
            _tell(f"{what}, by the {by}", [pair[at] for pair in each])


def _tell(what: str, each_s: list[float]) -> None:
    cuts = quantiles(each_s, n=100, method="inclusive") if len(each_s) > 1 else each_s * 99
    told = (1000 * cuts[49], 1000 * cuts[98], 1000 * max(each_s))
    print("{}: {} counts, p50 {:.0f} ms, p99 {:.0f} ms, worst {:.0f} ms".format(
        what, len(each_s), *told
    ))  # fmt: skip


def _families(days: list[Day]) -> Iterator[tuple[Day, str]]:
    for day in days:
        for family in sorted({tuple(sorted(kin_of(day, each.id))) for each in day.demonstrations}):
            shown = next((each for each in family if day.demonstration(each).beats), None)
            if shown is not None:
                yield day, shown


def _timed(times: Times, what: str, work: Callable[..., T], *given: object) -> T:
    processor_s, clock_s = time.process_time(), time.perf_counter()
    result = work(*given)
    spent = time.process_time() - processor_s, time.perf_counter() - clock_s
    times.setdefault(what, []).append(spent)
    return result


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
