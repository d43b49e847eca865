"""What the bench reads from a planner's progress: when it reached what."""

from math import inf

import pytest

from app.planning.plan import Bounds, Objective, Plan
from tests.bench.milestones import (
    COPIES,
    FIVE,
    Told,
    first_plan_s,
    gap,
    gap_through,
    within_s,
)

PLAN = Plan(
    status="feasible",
    objective=Objective(unmet=0, unbacked=0, cost=50, hands_min=90, waiting_min=10, early_min=1),
    bounds=Bounds(unmet=0, unbacked=0, cost=50, hands_min=80),
)
TOLD = (
    Told("unmet", 3, 0, 0.5),
    Told("unmet", 0, 0, 1),
    Told("cost", 60, 48, 2),
    Told("cost", 50, 49, 3),
    Told("cost", 50, 50, 4),
    Told("hands_min", 90, 80, 5),
)


def test_a_gap_is_a_part_of_the_bound() -> None:
    assert gap(50, 50) == 0
    assert gap(55, 50) == pytest.approx(0.1)
    assert gap(None, 50) == gap(50, None) == gap(5, 0) == inf


def test_the_first_plan_is_one_that_lacks_nothing() -> None:
    assert first_plan_s(TOLD, PLAN) == 2
    lacking = PLAN.objective.model_copy(update={"unmet": 2})
    assert first_plan_s(TOLD[:1], PLAN.model_copy(update={"objective": lacking})) == inf


def test_copies_are_proven_when_best_and_bound_meet() -> None:
    """`unbacked` was never told: it needed no work, and stands in the plan."""
    assert within_s(TOLD, PLAN, COPIES, 0) == 4
    assert within_s(TOLD, PLAN, COPIES, 0.03) == 3
    assert within_s(TOLD, PLAN, COPIES, 0.3) == 2


def test_five_goals_are_near_only_when_all_were_told() -> None:
    assert within_s(TOLD, PLAN, FIVE, 0.5) == inf
    assert gap_through(PLAN, FIVE) == inf
    assert gap_through(PLAN, FIVE[:4]) == pytest.approx(0.125)


def test_what_is_better_than_the_plan_was_told_of_a_part_of_the_day() -> None:
    assert within_s((Told("cost", 20, 20, 1), *TOLD), PLAN, COPIES, 0) == 4


def test_what_is_proven_beyond_the_plan_was_proven_of_something_else() -> None:
    """Bounds only grow, so the finished plan has the highest of them."""
    open_cost = PLAN.bounds.model_copy(update={"cost": 49, "hands_min": None})
    plan = PLAN.model_copy(update={"bounds": open_cost})
    assert within_s(TOLD, plan, COPIES, 0) == inf
    assert within_s(TOLD, plan, COPIES, 0.03) == 3
