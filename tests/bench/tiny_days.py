"""Hold the planner against trying everything, over many tiny random days.

`python -m tests.bench.tiny_days FROM TO [LIMIT]` tells every difference and counts the rest.
"""

import sys
import time
from collections import Counter
from fractions import Fraction

from app.planning.audit import audit
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.solve import solve
from tests.brute import Best, TooBig, brute
from tests.random_days import tiny_day

LIMIT = 20_000


def goals_of(plan: Plan) -> tuple[int, int, Fraction, int, int]:
    """Return the first five figures of a plan, as brute force tells them."""
    figures = plan.objective
    return (
        figures.unmet,
        figures.unbacked,
        Fraction(str(figures.cost)),
        figures.hands_min,
        figures.waiting_min,
    )


def verdict(day: Day, limit: int = LIMIT) -> tuple[str, list[str]]:
    """Return one word for how planner and brute force compare on a day, and what to look at."""
    try:
        best = brute(day, limit)
    except TooBig:
        return "too big", []
    plan = solve(day)
    told = [f"breach {breach}" for breach in audit(day, plan)]
    if goals_of(plan) != best.goals:
        told.append(_differs(plan, best))
    if told:
        return "differs", told
    return ("not proven" if plan.status == "feasible" else "equal"), told


def _differs(plan: Plan, best: Best) -> str:
    figures = [str(each) for each in goals_of(plan)]
    tried = [str(each) for each in best.goals]
    return f"planner {figures} {plan.status}, everything tried {tried}"


def main(begin: int, end: int, limit: int = LIMIT) -> None:
    """Compare the days of the seeds from `begin` up to `end`."""
    verdicts: Counter[str] = Counter()
    began = time.monotonic()
    for seed in range(begin, end):
        try:
            word, told = verdict(read_day(tiny_day(seed)), limit)
        except Exception as fault:  # a day that stops the planner is a finding too
            word, told = "failed", [f"{type(fault).__name__}: {fault}"]
        verdicts[word] += 1
        if word not in ("equal", "too big"):
            print(seed, word, *told, sep="\n    ", flush=True)
    print(dict(verdicts), f"in {time.monotonic() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main(*(int(each) for each in sys.argv[1:]))
