"""Minutes for pools: what is not possible with them is told apart until it is."""

from collections.abc import Callable
from typing import Any

import pytest
from ortools.sat.python import cp_model

from app.planning.clocked import clock
from app.planning.day import Day
from app.planning.fewest import _answer
from app.planning.model.sheet import total
from app.planning.plan import Plan
from app.planning.pooled import Pooled
from app.planning.pools import Pools, Splits
from app.planning.reading import read_day
from app.planning.rough import Supposed, rough_count, unlimited
from app.planning.scope import Scope
from app.planning.settling import settle
from app.planning.thinning import thin
from tests.bench.productions import production


def supposed(day: Day, demonstration: str) -> Supposed:
    """Return the plan that an exact count supposes."""
    rough = rough_count(day, demonstration)
    assert rough.state == "exact"
    assert rough.supposed is not None
    return rough.supposed


def batches(plan: Plan, stage: str) -> list[int]:
    """Return the copies of each batch of a stage."""
    return [len(batch.copies) for batch in plan.batches if batch.stage == stage]


def test_what_can_be_made_at_once_is_one_batch(knots_day: Day) -> None:
    """Tests knots of two takes: each batch of tied ones is as full as its minute allows."""
    plan = supposed(knots_day, "knots").plan
    for stage in ("scaled", "tied", "baked"):
        made = batches(plan, stage)
        assert len(made) <= 2 < sum(made)


def test_pools_with_minutes_are_a_plan_and_cost_no_less() -> None:
    """Tests a roast, of which every copy costs one: 43 can be staged in time, and no fewer."""
    scope = Scope(unlimited(read_day(production(12, 1)), "roast-5")[0])
    pools = Pools(scope, Splits())
    thin(pools)
    model = Pooled(pools, short=False, bare=False)
    cost = total(makes.started for makes in model.makes.values())
    clock(model, cost, 43)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    assert settle(pools, _answer(model, solver)).splits is None
    clock(model, cost, 42)
    assert solver.solve(model.model) == cp_model.INFEASIBLE


@pytest.mark.parametrize("seed", [2, 4])
def test_batches_of_one_stage_are_few(seed: int) -> None:
    """Tests that no stage of a production has a batch for each copy where one would do."""
    day = read_day(production(12, seed))
    for each in day.demonstrations:
        plan = supposed(day, each.id).plan
        assert len(plan.batches) < len(plan.copies) / 1.5


def two_dishes(golden: Callable[[str], Any], keeps_min: int) -> Day:
    """Return two beats an hour apart that need what is made from one dough of two."""
    told = golden("knots.day.json")
    told["runs"] = told["runs"][:1]
    told["demonstrations"][0]["stages"] = [
        {"id": "dough", "keeps_min": keeps_min, "ways": [hand(2)]},
        {
            "id": "half",
            "keeps_min": 5,
            "from": [{"stage": "dough"}],
            "yields": 2,
            "ways": [hand(2)],
        },
        {"id": "early", "keeps_min": 5, "from": [{"stage": "half"}], "ways": [hand(1)]},
        {"id": "late", "keeps_min": 5, "from": [{"stage": "half"}], "ways": [hand(1)]},
    ]
    told["demonstrations"][0]["beats"] = [
        {"id": stage, "starts_s": at_s, "lasts_s": 30, "needs": [{"stage": stage}]}
        for stage, at_s in (("early", 0), ("late", 3600))
    ]
    told["policy"] = {"ready_margin_min": 0}
    return Day.model_validate(told)


def hand(most: int) -> dict[str, Any]:
    """Return a way of ten minutes by hand."""
    return {"id": "hand", "batch_max": most, "phases": [{"lasts_min": 10, "hands": 1}]}


def test_halves_of_one_dough_that_cannot_share_a_minute_are_two_batches(
    golden: Callable[[str], Any],
) -> None:
    """Tests it by sums: an hour apart, halves that keep five minutes ask for a dough each."""
    made = dict(rough_count(two_dishes(golden, 240), "knots").made)
    assert {key[1]: count for key, count in made.items()} == {
        "dough": 2, "half": 2, "early": 1, "late": 1,
    }  # fmt: skip
    near = two_dishes(golden, 240)
    beats = near.demonstrations[0].beats
    closer = (beats[0], beats[1].model_copy(update={"starts_s": 240}))
    home = near.demonstrations[0].model_copy(update={"beats": closer})
    made = dict(rough_count(near.model_copy(update={"demonstrations": (home,)}), "knots").made)
    assert made["knots", "dough"] == 1
