"""What a rough count costs: `python -m tests.bench.rough [demonstrations] [seeds]`.

For each demonstration of some generated productions and of the two examples, in seconds of the
processor and in one run: with every lot counted for itself, as it was once; the floor that is
counted now; that and batches with minutes which reach it, with the swap chart, as shown at first;
and the rest of the search where none do. Before them how many counts are told as exact, and where
the floors differ.
"""

import json
import os
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from statistics import quantiles
from typing import TypeVar

from ortools.sat.python import cp_model

from app.planning.day import Day
from app.planning.fewest import floor_in_lots
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.model.sheet import total
from app.planning.reading import read_day
from app.planning.rough import Rough, _counted, kin_of, rough_count, unlimited
from app.planning.scope import Scope
from app.web.charts.swap import swap_chart
from tests.bench.productions import production

EXAMPLES = [
    Path(__file__).parents[2] / f"seed_demo/{name}.day.json" for name in ("class", "studio")
]
A_LACK, WORK = 1_000_000, 4.0
T = TypeVar("T")


def with_every_lot(scope: Scope, wanted: Wanted, work: float = WORK) -> int | None:
    """Return what lacks, a copy before all backups, and what it costs, in one number.

    None if there is no answer, or the work sufficed for no proof.
    """
    model = build(scope, replace(wanted, lots=True))
    backups = sum(use.backups for use in scope.needs.uses)
    unmet, unbacked = model.goals.whole("unmet"), model.goals.whole("unbacked")
    lacks = total(((1 + backups) * unmet, unbacked))
    goal = total((A_LACK * wanted.scale * lacks, model.goals.whole("cost")))
    model.sheet.model.minimize(goal)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    solver.parameters.max_presolve_iterations = 1
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.max_deterministic_time = work
    if solver.solve(model.sheet.model) != cp_model.OPTIMAL:
        return None
    return goal if isinstance(goal, int) else int(solver.value(goal))


def drawn(day: Day, demonstration: str) -> Rough:
    """Return the count in haste, after its swap chart has been drawn."""
    rough = rough_count(day, demonstration, in_haste=True)
    if rough.supposed is not None:
        swap_chart(rough.supposed.day, rough.supposed.plan, demonstration, is_rough=True)
    return rough


def main(demonstrations: int = 12, seeds: int = 5) -> None:
    """Tell the figures."""
    days = [read_day(production(demonstrations, seed)) for seed in range(1, seeds + 1)]
    days += [read_day(json.loads(path.read_text("utf-8"))) for path in EXAMPLES]
    times_s: dict[str, list[float]] = {}
    states: Counter[str] = Counter()
    for day, shown in _families(days):
        scope = Scope(unlimited(day, shown)[0])
        wanted = Wanted(tuple(scope.makings), cost_scale(scope), kitchen="endless", times=False)
        before = _timed(times_s, "every lot", with_every_lot, scope, wanted)
        floor = _timed(times_s, "the floor", floor_in_lots, scope, wanted, WORK)
        if before is not None and (floor is None or floor.least != before):
            print(f"{day.title}, {shown}: {floor and floor.least}, with every lot {before}")
        _counted.cache_clear()
        first = _timed(times_s, "shown at first", drawn, day, shown)
        whole = _timed(times_s, "and then", rough_count, day, shown)
        states[f"{first.state} at first, {whole.state} in the end"] += 1
        if whole.state != "exact":
            print(f"{day.title}, {shown}: {whole.least} to {whole.cost}")
    print(*(f"{count} {state}" for state, count in states.items()), sep="\n")
    print(f"load of the last minute: {os.getloadavg()[0]:.1f}")
    for what, each_s in times_s.items():
        cuts = quantiles(each_s, n=100, method="inclusive")
        told = (1000 * cuts[49], 1000 * cuts[98], 1000 * max(each_s))
        print("{}: p50 {:.0f} ms, p99 {:.0f} ms, worst {:.0f} ms".format(what, *told))


def _families(days: list[Day]) -> Iterator[tuple[Day, str]]:
    for day in days:
        for family in sorted({tuple(sorted(kin_of(day, each.id))) for each in day.demonstrations}):
            shown = next((each for each in family if day.demonstration(each).beats), None)
            if shown is not None:
                yield day, shown


def _timed(
    times_s: dict[str, list[float]],
    what: str,
    work: Callable[..., T],
    *given: object,
    **told: object,
) -> T:
    began = time.process_time()
    result = work(*given, **told)
    times_s.setdefault(what, []).append(time.process_time() - began)
    return result


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
