"""What is proven of minutes holds for any number of batches that ask for no hands."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from app.planning.day import Day
from app.planning.descent import descend
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.model.unattended import asks_no_hands
from app.planning.plan import Plan
from app.planning.proving import COPY_GOALS, COUNT_GOALS, Proving
from app.planning.reading import read_day
from app.planning.scope import Scope
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never
from tests.planning import drafts
from tests.random_days import newest, tiny_day

GOALS = (*COUNT_GOALS, "waiting_min")
WORK = 3.0
SEEDS = (*range(60), 309, 343, 388, 509, 762, *newest(15))
PARTS = 5


def watch() -> Watch:
    return Watch(None, still, never, nobody)


def one_cook(rests: int) -> Scope:
    """Return a day on which one cook kneads five doughs, 12 minutes each, that rest for 30.

    A dough keeps 25 minutes before it must rest: three can rest together. Eight fillings beside
    them make the day too large for all batches to be considered.
    """
    stages = [
        drafts.stage("kneaded", drafts.way(12, most=1), keeps_min=25),
        drafts.stage("rested", drafts.way(30, hands=0), **{"from": [{"stage": "kneaded"}]}),
        drafts.stage("filling"),
    ]
    beats = [drafts.beat("show", 0, 60, {"rested": 5, "filling": 8}, {})]
    runs = [drafts.run("take", "12:00")]
    scope = Scope(read_day(drafts.day(stages, beats, runs, policy={"step_slack_min": 0})))
    scope.consider({(("loaf", "rested"), "take"): rests})
    return scope


def least_waiting(scope: Scope) -> int:
    """Return how long copies wait in the best plan with as many batches as are considered."""
    wanted = Wanted(tuple(scope.makings), cost_scale(scope))
    return descend(build(scope, wanted), GOALS, watch(), WORK).figures["waiting_min"]


def test_a_rest_more_is_fresher_and_is_seen_by_who_does_not_consider_it() -> None:
    """The last three doughs rest just in time; the two before wait 23 minutes, or 23 and 11."""
    told, truth = least_waiting(one_cook(2)), least_waiting(one_cook(3))
    assert (told, truth) == (46, 34)
    scope = one_cook(2)
    proving = Proving(scope, Wanted(tuple(scope.makings), 1), GOALS, watch())
    limits = {"unmet": 0, "unbacked": 0, "cost": 18, "hands_min": 70}
    assert proving.unattended(limits, "waiting_min", told, 0) == truth


def floor_of_waiting(day: Day, plan: Plan) -> int | None:
    """Return what no plan with the other's copies undercuts, however many rests it has.

    None: nobody rests on that day.
    """
    scope = Scope(day)
    free = frozenset(
        key for key, making in scope.makings.items() if any(map(asks_no_hands, making.methods))
    )
    if not free:
        return None
    everybody = frozenset(key[0] for key in scope.makings)
    wanted = Wanted(tuple(scope.makings), cost_scale(scope), short=everybody, bare=everybody)
    model = build(scope, replace(wanted, unattended=free))
    goals = COUNT_GOALS if day.policy.prefer == "hands" else COPY_GOALS
    for goal in goals:
        figure = Fraction(str(getattr(plan.objective, goal)))
        scale = wanted.scale if goal == "cost" else 1
        model.sheet.model.add(model.goals.whole(goal) == int(figure * scale))
    answer = descend(model, ("waiting_min",), watch(), WORK)
    assert not answer.infeasible
    return answer.floors["waiting_min"]


@pytest.mark.parametrize("part", range(PARTS))
def test_no_rule_is_added_for_unattended_batches(part: int) -> None:
    """The best plan of a tiny day never undercuts the floor; mostly it is the floor."""
    verdicts: Counter[str] = Counter()
    for seed in SEEDS[part::PARTS]:
        day = read_day(tiny_day(seed))
        plan = solve(day)
        floor = floor_of_waiting(day, plan) if plan.status != "feasible" else None
        if floor is not None:
            assert floor <= plan.objective.waiting_min, seed
            verdicts["tight" if floor == plan.objective.waiting_min else "lower"] += 1
    assert verdicts["tight"] > verdicts["lower"]


def test_what_a_beat_hands_back_may_rest_afterwards() -> None:
    """One dough is shown first and rests then: no plan does with less, and the floor knows that."""
    stages = [
        drafts.stage("kneaded", drafts.way(12)),
        drafts.stage("rested", drafts.way(30, hands=0), **{"from": [{"stage": "kneaded"}]}),
    ]
    beats = [
        drafts.beat("show", 0, 60, {"kneaded": 1}, {"kneaded": 1}),
        drafts.beat("serve", 7200, 60, {"rested": 1}, {}),
    ]
    day = read_day(drafts.day(stages, beats, [drafts.run("take", "10:00")]))
    plan = solve(day)
    assert (plan.status, plan.objective.cost) == ("optimal", 2)
    assert floor_of_waiting(day, plan) == plan.objective.waiting_min
