"""When a planner reached what, read from the progress that it told and the plan that it gave."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import inf

from app.planning.plan import Plan

COPIES = ("unmet", "unbacked", "cost")
FIVE = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")
Known = dict[str, tuple[float | None, float | None]]


@dataclass(frozen=True)
class Told:
    """One word of progress: the goal in hand, the best so far and the bound, at so many seconds."""

    goal: str
    best: float | None
    bound: float | None
    seconds: float


def gap(best: float | None, bound: float | None) -> float:
    """Return by what part of its bound the best is above it; infinite while one is unknown."""
    if best is None or bound is None:
        return inf
    if best <= bound:
        return 0.0
    return (best - bound) / bound if bound > 0 else inf


def gap_of(plan: Plan, goal: str) -> float:
    """Return the gap of one goal of a finished plan."""
    return gap(getattr(plan.objective, goal), getattr(plan.bounds, goal))


def gap_through(plan: Plan, goals: Sequence[str]) -> float:
    """Return the widest gap of several goals of a finished plan."""
    return max(gap_of(plan, goal) for goal in goals)


def first_plan_s(told: Sequence[Told], plan: Plan) -> float:
    """Return the second at which a plan was known that lacks no copy that could be had.

    It has a cost by then, too: a planner that only counted what lacks has no plan yet.
    """

    def is_served(known: Known) -> bool:
        best = known.get("unmet", (plan.objective.unmet, None))[0]
        lacking = plan.bounds.unmet or 0
        served = best is not None and best <= lacking
        return served and "cost" in known and _is_whole(known, plan, COPIES)

    return _first(told, is_served)


def within_s(told: Sequence[Told], plan: Plan, goals: Sequence[str], part: float) -> float:
    """Return the second at which all goals stood within a part of their bounds; or infinity.

    `unmet` and `unbacked` must be proven. A goal that was never told counts as it stands in the
    plan as soon as a later one is told: it needed no work. What is better than the finished plan,
    or proven beyond its bounds, was told of a part of the day, and counts for nothing.
    """

    def is_near(known: Known) -> bool:
        gaps = {goal: _gap_at(known, plan, goal) for goal in goals}
        near = all(each <= (part if goal in FIVE[2:] else 0) for goal, each in gaps.items())
        return near and _is_whole(known, plan, goals) and _is_true(known, plan, goals)

    return _first(told, is_near)


def _first(told: Sequence[Told], is_reached: Callable[[Known], bool]) -> float:
    known: Known = {}
    for each in told:
        known[each.goal] = (each.best, each.bound)
        if is_reached(known):
            return each.seconds
    return inf


def _gap_at(known: Known, plan: Plan, goal: str) -> float:
    if goal in known:
        return gap(*known[goal])
    later = FIVE[FIVE.index(goal) + 1 :]
    return gap_of(plan, goal) if any(each in known for each in later) else inf


def _is_whole(known: Known, plan: Plan, goals: Sequence[str]) -> bool:
    told = {goal: known[goal][0] for goal in goals if goal in known}
    return bool(known) and all(
        best is not None and best >= getattr(plan.objective, goal) for goal, best in told.items()
    )


def _is_true(known: Known, plan: Plan, goals: Sequence[str]) -> bool:
    told = {goal: known[goal][1] for goal in goals if goal in known}
    last = {goal: getattr(plan.bounds, goal) for goal in told}
    return all(
        bound is not None and last[goal] is not None and bound <= last[goal]
        for goal, bound in told.items()
    )
