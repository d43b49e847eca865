"""Leaving lots out that are not needed changes no count: against every lot counted for itself."""

import pytest
from ortools.sat.python import cp_model

from app.planning.day import Day
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.model.sheet import total
from app.planning.reading import read_day
from app.planning.rough import kin_of, rough_count, unlimited
from app.planning.scope import Scope
from app.planning.thinning import let_each_serve_all, thin
from tests.bench.productions import production
from tests.random_days import FURTHER_FROM, tiny_day

A_LACK = 1_000_000


def with_every_lot(day: Day, demonstration: str) -> tuple[int, float]:
    """Return what lacks and what it costs, where no lot is left out."""
    scope = Scope(unlimited(day, demonstration)[0])
    every = frozenset(key[0] for key in scope.makings)
    scale = cost_scale(scope)
    for may in (frozenset[str](), every):
        wanted = Wanted(
            tuple(scope.makings), scale, kitchen="endless", times=False, lots=True,
            bare=may, short=may,
        )  # fmt: skip
        model = build(scope, wanted)
        lacks = total((model.goals.whole("unmet"), model.goals.whole("unbacked")))
        cost = model.goals.whole("cost")
        if may:
            model.sheet.model.minimize(A_LACK * scale * lacks + cost)
        else:
            model.sheet.model.add(lacks == 0)
            model.sheet.model.minimize(cost)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 2
        if solver.solve(model.sheet.model) == cp_model.OPTIMAL:
            lacking, costs = divmod(round(solver.objective_value), A_LACK * scale)
            return (lacking, costs / scale) if may else (0, costs / scale)
    raise AssertionError("no answer")


@pytest.mark.parametrize(
    "first", [*range(0, 300, 50), *range(FURTHER_FROM, FURTHER_FROM + 100, 50)]
)
def test_random_days_cost_as_much_with_every_lot(first: int) -> None:
    """Tests every demonstration of fifty days, those included that cannot have all."""
    for seed in range(first, first + 50):
        day = read_day(tiny_day(seed))
        for family in {kin_of(day, each.demonstration) for each in day.runs}:
            rough = rough_count(day, min(family))
            assert rough.state == "exact"
            assert (rough.lacks, rough.cost) == with_every_lot(day, min(family)), seed


@pytest.mark.parametrize("nature", ["cured", "jelly", "noodles", "loaf", "tart"])
def test_dishes_cost_as_much_with_every_lot(nature: str) -> None:
    """Tests dishes of five and more stages that are shown four times."""
    day = read_day(production(12, 1))
    shown = next(each.id for each in day.demonstrations if each.id.startswith(nature))
    rough = rough_count(day, shown)
    assert (rough.state, rough.lacks, rough.cost) == ("exact", *with_every_lot(day, shown))


def test_most_lots_of_a_dish_are_left_out() -> None:
    """Tests that a custard, the hardest to count, needs few of its lots."""
    day = read_day(production(12, 5))
    shown = next(each.id for each in day.demonstrations if each.id.startswith("custard"))
    scope = Scope(unlimited(day, shown)[0])
    let_each_serve_all(scope)
    wanted = Wanted(tuple(scope.makings), 1, kitchen="endless", times=False, lots=True)
    model = build(scope, wanted)
    rules = len(model.sheet.model.proto.constraints)
    thin(scope, model)
    lots = sum(len(some) for some in model.batches.values())
    left_out = len(model.sheet.model.proto.constraints) - rules
    assert 0.5 * lots < left_out < lots
