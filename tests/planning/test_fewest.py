"""The fewest copies: against all single batches that could be, and against trying everything."""

from collections.abc import Callable
from typing import Any

import pytest
from ortools.sat.python import cp_model

from app.planning.day import Day
from app.planning.fewest import Asked, fewest
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.reading import read_day
from app.planning.rough import kin_of, rough_count, unlimited
from app.planning.scope import Scope
from tests.bench.productions import production
from tests.brute import TooBig, brute
from tests.random_days import newest, tiny_day

ENOUGH = 0.1
FEW = 5_000


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


@pytest.mark.parametrize("first", [*range(0, 300, 50), newest(1)[0]])
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


@pytest.mark.parametrize("seed", [25937, 26055, 26069])
def test_batches_that_hold_each_other_in_a_ring_are_told_apart(seed: int) -> None:
    """Tests tiny days where an input makes a batch early, that another input, and so on."""
    day = read_day(tiny_day(seed))
    assert {rough_count(day, each.id).state for each in day.demonstrations} == {"exact"}


def without_hands(day: Day) -> Day:
    """Return a day whose phases ask for nobody and no room."""
    told = day.model_dump(mode="json", by_alias=True, exclude_none=True)
    phases = [
        phase
        for each in told["demonstrations"]
        for stage in each["stages"]
        for way in stage["ways"]
        for phase in way["phases"]
    ]
    for phase in phases:
        for word in ("hands", "skill", "zone"):
            phase.pop(word, None)
    return Day.model_validate(told)


@pytest.mark.parametrize("first", [*range(0, 300, 50), newest(1)[0]])
def test_random_days_need_what_is_found_by_trying_everything(
    first: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tests every family of fifty tiny days against brute force, in a kitchen without limits."""
    monkeypatch.setattr("app.planning.rough.LONGEST_BEFORE_MIN", 0)
    compared = 0
    for seed in range(first, first + 50):
        day = without_hands(read_day(tiny_day(seed)))
        for family in {kin_of(day, run.demonstration) for run in day.runs}:
            rough = rough_count(day, min(family))
            try:
                best = brute(unlimited(day, min(family))[0], limit=FEW)
            except TooBig:
                continue
            compared += 1
            lacks = best.unmet + best.unbacked
            assert (rough.state, rough.lacks, rough.cost) == ("exact", lacks, best.cost), seed
    assert compared > 20


def floor_in_lots(day: Day, demonstration: str) -> float:
    """Return what a demonstration costs at least, as the planner counts lots of batches."""
    scope = Scope(unlimited(day, demonstration)[0])
    wanted = Wanted(
        tuple(scope.makings), cost_scale(scope), kitchen="endless", times=False, lots=True
    )
    model = build(scope, wanted)
    model.sheet.model.minimize(model.goals.whole("cost"))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    assert solver.solve(model.sheet.model) == cp_model.OPTIMAL
    return solver.objective_value / wanted.scale


@pytest.mark.parametrize(
    ("demonstration", "lots", "cost"), [("loaf-3", 52, 56), ("tart-10", 66, 66)]
)
def test_no_count_is_below_what_the_planner_proves(
    demonstration: str, lots: float, cost: float
) -> None:
    """Tests a tart, and a dough that is shaped once for the oven and once, too late for it, for
    the camera: there batches that share no minute cost more than lots can tell."""
    day = read_day(production(12, 1))
    assert floor_in_lots(day, demonstration) == lots
    rough = rough_count(day, demonstration)
    assert (rough.state, rough.cost) == ("exact", cost)


def test_a_count_of_too_much_work_is_a_floor() -> None:
    """Tests that without the work for a proof nothing is told to be made."""
    scope = Scope(unlimited(read_day(production(12, 20)), "loaf-1")[0])
    scale = cost_scale(scope)
    cut_short = fewest(scope, Asked(scale, work=0.025))
    assert cut_short is not None
    assert cut_short.found is None
    assert 0 < cut_short.least <= 59 * scale


def test_nothing_is_told_where_more_must_lack_than_may(golden: Callable[[str], Any]) -> None:
    """Tests a stage that only a beat leaves and an earlier beat needs."""
    told = golden("knots.day.json")
    beats = told["demonstrations"][0]["beats"]
    told["demonstrations"][0]["stages"].append({"id": "torn", "keeps_min": 60})
    beats[0]["needs"].append({"stage": "torn"})
    beats[2]["leaves"] = [{"stage": "torn"}]
    scope = Scope(unlimited(Day.model_validate(told), "knots")[0])
    assert fewest(scope, Asked(1, work=1.0)) is None
    counted = fewest(scope, Asked(1, work=1.0, short=True, bare=True))
    assert counted is not None
    assert counted.found is not None
    assert counted.found.lacks > 0
