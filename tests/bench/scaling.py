"""How the planner grows with the day: `python -m tests.bench.scaling [SIZE …]`.

Each generated production is planned in a process of its own, which is ended when it overruns its
limit by far, and each plan is audited. Prints a line a production, then a table of medians and the
worst of all seeds. When something was reached is what the planner told on the way; `--at` plans
with each limit of the table anew and looks at nothing but the plan that comes back. Nobody else
should work on the machine meanwhile. It is a measurement and not a test.
"""

import argparse
import json
import os
import statistics
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from math import inf
from multiprocessing.connection import Connection
from pathlib import Path

from app.planning.audit import audit
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.solve import solve
from app.web.apart import Apart
from tests.bench.milestones import COPIES, FIVE, Told, first_plan_s, gap_through, within_s
from tests.bench.productions import production

SEEDS = 10
PATIENCE, PATIENCE_S = 2, 30
UNREACHED = "–"


@dataclass(frozen=True)
class Wanted:
    """What is asked of one size: the part of the bound to come within, and the seconds for it."""

    first_s: float
    least: tuple[float, float]
    aim: tuple[float, float]
    five: tuple[float, float] | None

    @property
    def limit_s(self) -> float:
        """Return the longest of the limits."""
        return max(self.first_s, self.least[1], self.aim[1], self.five[1] if self.five else 0)

    def limits(self) -> Iterator[tuple[str, Sequence[str], float, float]]:
        """Yield a name, the goals, the part and the seconds of each thing asked."""
        yield "first plan", COPIES[:1], 0, self.first_s
        yield "copies, the aim", COPIES, *self.aim
        yield "copies, at least", COPIES, *self.least
        if self.five is not None:
            yield "five goals, the aim", FIVE, *self.five


SIZES = {
    2: Wanted(0.5, (0, 2), (0, 0.3), (0, 1)),
    6: Wanted(1, (0.01, 5), (0, 0.5), (0, 5)),
    12: Wanted(2, (0.01, 10), (0, 1), (0, 15)),
    24: Wanted(5, (0.015, 20), (0.004, 5), (0.03, 60)),
    48: Wanted(15, (0.02, 40), (0.004, 15), None),
    96: Wanted(40, (0.03, 90), (0.005, 40), None),
}


@dataclass(frozen=True)
class Found:
    """What planning one production gave. Seconds; infinity is never, gaps are parts of a bound."""

    size: int
    seed: int
    limit_s: float
    took_s: float
    status: str
    breaches: int
    first_s: float = inf
    least_s: float = inf
    aim_s: float = inf
    five_s: float = inf
    unmet: float = inf
    copies_gap: float = inf
    five_gap: float = inf


def planned(size: int, seed: int, limit_s: float) -> tuple[Plan | None, list[Told], float]:
    """Return the plan of a production, what was told on the way, and the seconds it took."""
    child, began = Apart(_plan, size, seed, limit_s), time.monotonic()
    told: list[Told] = []
    plan, took_s = None, inf
    try:
        while plan is None and time.monotonic() - began < limit_s * PATIENCE + PATIENCE_S:
            if child.pipe.poll(1):
                said = child.pipe.recv()
                if isinstance(said, Told):
                    told.append(said)
                else:
                    plan, took_s = said
    except (EOFError, OSError):
        print(f"    {size}/{seed}: {child.ended()}", flush=True)
    child.kill()
    child.ended()
    return plan, told, took_s


def _plan(pipe: Connection, size: int, seed: int, limit_s: float) -> None:
    day, began = read_day(production(size, seed)), time.monotonic()
    plan = solve(
        day,
        seconds=limit_s,
        now=time.monotonic,
        # by this process's own clock: what is told may leave out how long the model took
        tell=lambda each: pipe.send(
            Told(each.goal, each.best, each.bound, time.monotonic() - began)
        ),
    )
    pipe.send((plan, time.monotonic() - began))


def found(size: int, seed: int, limit_s: float) -> Found:
    """Plan one production and tell what was reached when, as the planner told it."""
    plan, told, took_s = planned(size, seed, limit_s)
    if plan is None:
        return Found(size, seed, limit_s, took_s, "no plan", 0)
    wanted = SIZES[size]
    breaches = audit(read_day(production(size, seed)), plan)
    for breach in breaches[:3]:
        print(f"    {size}/{seed}: {breach}")
    return Found(
        size, seed, limit_s, took_s, plan.status, len(breaches),
        first_s=first_plan_s(told, plan),
        least_s=within_s(told, plan, COPIES, wanted.least[0]),
        aim_s=within_s(told, plan, COPIES, wanted.aim[0]),
        five_s=within_s(told, plan, FIVE, wanted.five[0] if wanted.five else 0),
        unmet=plan.objective.unmet,
        copies_gap=gap_through(plan, COPIES),
        five_gap=gap_through(plan, FIVE),
    )  # fmt: skip


def table(results: Sequence[Found]) -> Iterator[str]:
    """Yield the table: for each size the median and the worst, beside what is asked."""
    yield (
        "| demonstrations | first plan | copies: at least | copies: the aim | five goals: the aim "
        "| copies at the end | five goals at the end | took | breaches | with lacks |"
    )
    yield "| --- " * 10 + "|"
    for size in sorted({each.size for each in results}):
        mine = [each for each in results if each.size == size]
        asked = SIZES[size]
        cells = [
            f"{size} ({len(mine)} seeds, {mine[0].limit_s:g} s)",
            f"{_pair(mine, lambda each: each.first_s, _seconds)} (asked {asked.first_s:g} s)",
            f"{_pair(mine, lambda each: each.least_s, _seconds)} {_asked(asked.least)}",
            f"{_pair(mine, lambda each: each.aim_s, _seconds)} {_asked(asked.aim)}",
            f"{_pair(mine, lambda each: each.five_s, _seconds)} {_asked(asked.five)}",
            _pair(mine, lambda each: each.copies_gap, _percent),
            _pair(mine, lambda each: each.five_gap, _percent),
            _pair(mine, lambda each: each.took_s, _seconds),
            str(sum(each.breaches for each in mine)),
            str(sum(each.unmet > 0 for each in mine)),
        ]
        yield f"| {' | '.join(cells)} |"


def _pair(
    results: Sequence[Found], figure: Callable[[Found], float], words: Callable[[float], str]
) -> str:
    figures = [figure(each) for each in results]
    return f"{words(statistics.median(figures))}, worst {words(max(figures))}"


def _seconds(figure: float) -> str:
    return UNREACHED if figure == inf else f"{figure:.2g} s"


def _percent(figure: float) -> str:
    return UNREACHED if figure == inf else f"{100 * figure:.2g} %"


def _asked(limit: tuple[float, float] | None) -> str:
    if limit is None:
        return "(as far as it goes)"
    part, seconds = limit
    return f"({'proven' if part == 0 else f'within {100 * part:g} %'} in {seconds:g} s)"


def at_each_limit(sizes: Sequence[int], seeds: Sequence[int]) -> None:
    """Plan with each limit that is asked, and tell how often the plan was as near as asked."""
    for size in sizes:
        for name, goals, part, limit_s in SIZES[size].limits():
            gaps: list[float] = []
            took: list[float] = []
            for seed in seeds:
                plan, _, took_s = planned(size, seed, limit_s)
                gaps.append(inf if plan is None else _gap_asked(plan, goals))
                took.append(took_s)
            reached = sum(each <= part for each in gaps)
            print(
                f"{size}: {name} in {limit_s:g} s: {reached} of {len(gaps)}; gap "
                f"{_percent(statistics.median(gaps))}, worst {_percent(max(gaps))}; took "
                f"{_seconds(statistics.median(took))}, worst {_seconds(max(took))}",
                flush=True,
            )


def _gap_asked(plan: Plan, goals: Sequence[str]) -> float:
    """Return the gap of the goals; of `unmet` alone, whether every need is served."""
    if tuple(goals) == COPIES[:1]:
        return 0 if plan.objective.unmet == 0 else inf
    return gap_through(plan, goals)


def main() -> None:
    """Read what to measure, measure, and print."""
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("sizes", nargs="*", type=int, default=list(SIZES), choices=list(SIZES))
    reader.add_argument("--seeds", type=int, default=SEEDS, help="how many productions of a size")
    reader.add_argument("--seconds", type=float, help="the limit, in place of the longest asked")
    reader.add_argument("--at", action="store_true", help="plan anew with each limit of the table")
    reader.add_argument("--to", type=Path, help="a file for the figures, a JSON line a production")
    asked = reader.parse_args()
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}", flush=True)
    seeds = range(asked.seeds)
    if asked.at:
        at_each_limit(asked.sizes, seeds)
        return
    results: list[Found] = []
    for size in asked.sizes:
        for seed in seeds:
            each = found(size, seed, asked.seconds or SIZES[size].limit_s)
            results.append(each)
            line = json.dumps({k: None if v == inf else v for k, v in asdict(each).items()})
            print(line, flush=True)
            if asked.to:
                with asked.to.open("a", encoding="utf-8") as file:
                    file.write(line + "\n")
    print(*table(results), sep="\n")


if __name__ == "__main__":
    main()
