"""The fewest copies are reached: against all single batches that could be, each at its minute."""

from dataclasses import replace

import pytest
from ortools.sat.python import cp_model

from app.planning.day import Day
from app.planning.fewest import Floor, floor_in_lots, reached_with_minutes
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.reading import read_day
from app.planning.rough import kin_of, rough_count, unlimited
from app.planning.scope import Scope
from tests.bench.productions import production
from tests.random_days import tiny_day

ENOUGH = 0.1


def lacking_and_cost(day: Day, demonstration: str) -> tuple[int, float] | None:
    """Return the least of both in an endless kitchen.

    None where not every batch is looked at, or that takes long.
    """
    scope = Scope(unlimited(day, demonstration)[0])
    if any(call.is_cut for making in scope.makings.values() for call in making.calls.values()):
        return None
    every = frozenset(key[0] for key in scope.makings)
    wanted = Wanted(
        tuple(scope.makings), cost_scale(scope), kitchen="endless", times=False,
        bare=every, short=every,
    )  # fmt: skip
    model = build(scope, wanted)
    least: list[int] = []
    for goal in ("unmet", "unbacked", "cost"):
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        whole = model.goals.whole(goal)
        model.sheet.model.minimize(whole)
        solver.parameters.max_deterministic_time = ENOUGH
        if solver.solve(model.sheet.model) != cp_model.OPTIMAL:
            return None
        least.append(whole if isinstance(whole, int) else int(solver.value(whole)))
        model.sheet.model.add(whole <= least[-1])
    return least[0] + least[1], least[2] / wanted.scale


@pytest.mark.parametrize("first", range(0, 300, 50))
def test_random_days_need_what_all_batches_with_minutes_need(first: int) -> None:
    """Tests every family of fifty tiny days goal by goal, those included that lack something."""
    compared = 0
    for seed in range(first, first + 50):
        day = read_day(tiny_day(seed))
        for family in {kin_of(day, run.demonstration) for run in day.runs}:
            expected = lacking_and_cost(day, min(family))
            rough = rough_count(day, min(family))
            if expected is not None:
                compared += 1
                assert (rough.state, rough.lacks, rough.cost) == ("exact", *expected), seed
    assert compared > 30


def floor_of(day: Day, demonstration: str) -> tuple[Scope, Wanted, Floor]:
    """Return a demonstration in an unlimited kitchen, what is asked of it, its floor in lots."""
    scope = Scope(unlimited(day, demonstration)[0])
    wanted = Wanted(tuple(scope.makings), cost_scale(scope), kitchen="endless", times=False)
    floor = floor_in_lots(scope, wanted, 4.0)
    assert floor is not None
    return scope, wanted, floor


def test_batches_that_cannot_share_a_minute_cost_more_than_lots_say() -> None:
    """Tests a dough that is shaped once for the oven and once, too late for it, for the camera."""
    day = read_day(production(12, 1))
    scope, wanted, floor = floor_of(day, "loaf-3")
    assert floor.fewest is not None
    assert floor.fewest.is_proven
    near = scope.considering(floor.more)
    assert reached_with_minutes(near, wanted, floor.fewest, 1.0) is None
    rough = rough_count(day, "loaf-3", in_haste=True)
    assert (rough.state, rough.least * wanted.scale) == ("within", floor.least)


def test_nothing_is_made_for_a_floor_that_is_too_low() -> None:
    """Tests that a plan with minutes is only told where it starts what lots start."""
    day = read_day(production(12, 1))
    scope, wanted, floor = floor_of(day, "roast-5")
    assert floor.fewest is not None
    near = scope.considering(floor.more)
    reached = reached_with_minutes(near, wanted, floor.fewest, 1.0)
    assert reached is not None
    assert reached.made == floor.fewest.made
    lower = replace(floor.fewest, least=floor.least - 1)
    assert reached_with_minutes(near, wanted, lower, 1.0) is None
