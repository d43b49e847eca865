"""Leaving out pools that are not needed changes no floor: against every pool counted."""

import pytest
from ortools.sat.python import cp_model

from app.planning.day import Day
from app.planning.fewest import _goal
from app.planning.model.goals import cost_scale
from app.planning.pooled import Pooled
from app.planning.pools import Pools, Splits
from app.planning.reading import read_day
from app.planning.rough import kin_of, unlimited
from app.planning.scope import Scope
from app.planning.thinning import thin
from tests.bench.productions import production
from tests.random_days import newest, tiny_day
from tests.rich_days import rich_day


def floor(pools: Pools, scale: int) -> int | None:
    """Return what pools lack and cost at least, in one; None if they lack more than they may."""
    for may in (False, True):
        model = Pooled(pools, short=may, bare=may)
        goal = _goal(model, scale)
        if not isinstance(goal, int):
            model.model.minimize(goal)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 2
        if solver.solve(model.model) == cp_model.OPTIMAL:
            return goal if isinstance(goal, int) else int(solver.value(goal))
    return None


def agree(day: Day, splits: Splits) -> None:
    """Hold the two floors of each family of a day against each other."""
    for family in {kin_of(day, run.demonstration) for run in day.runs}:
        scope = Scope(unlimited(day, min(family))[0])
        pools = Pools(scope, splits)
        plain = floor(pools, cost_scale(scope))
        thin(pools)
        assert floor(pools, cost_scale(scope)) == plain


@pytest.mark.parametrize("first", range(0, 300, 50))
def test_random_days_have_the_floor_of_every_pool(first: int) -> None:
    """Tests every family of fifty tiny days, those included that cannot have all."""
    for seed in range(first, first + 50):
        agree(read_day(tiny_day(seed)), Splits())


def test_later_and_rich_days_have_the_floor_of_every_pool() -> None:
    """Tests days whose ways have inputs of their own, and days with all words."""
    for seed in newest(50):
        agree(read_day(tiny_day(seed)), Splits())
        agree(read_day(rich_day(seed)), Splits())


def test_sizes_told_apart_have_the_floor_of_every_pool() -> None:
    """Tests ways of which batches of one copy, and of two, are pools of their own."""
    for seed in range(50):
        day = read_day(tiny_day(seed))
        ways = [
            ((home.id, stage.id), way.id) for home, stage in day.all_stages() for way in stage.ways
        ]
        agree(day, Splits(sizes={way: {1, 2} for way in ways}))


def test_most_pools_of_a_dish_are_left_out() -> None:
    """Tests that a roast needs few of its pools."""
    scope = Scope(unlimited(read_day(production(12, 1)), "roast-5")[0])
    pools = Pools(scope, Splits())
    before = pools.count
    thin(pools)
    assert 0 < pools.count < before / 10
