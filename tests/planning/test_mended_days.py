"""Tiny days on which an earlier planner or brute force was wrong: both agree on them now."""

import pytest

from app.planning.audit import audit
from app.planning.reading import read_day
from app.planning.solve import solve
from tests.brute import brute
from tests.random_days import tiny_day

MENDED = (
    696,
    709,
    867,
    992,
    1162,
    1390,
    1396,
    1428,
    1587,
    1617,
    1860,
    1970,
    2017,
    2217,
    2711,
    21545,
    31724,
    41540,
    50152,
    50456,
    56408,
    70384,
    93513,
    400162,
    503482,
)


@pytest.mark.parametrize("seed", MENDED)
def test_a_mended_day_stays_mended(seed: int) -> None:
    """The plan breaks no rule, and its goals are the best that trying everything finds."""
    day = read_day(tiny_day(seed))
    plan = solve(day)
    assert audit(day, plan) == []
    best, told = brute(day), plan.objective
    found = (told.unmet, told.unbacked, told.cost, told.hands_min, told.waiting_min)
    assert tuple(map(float, found)) == tuple(map(float, best.goals))


def test_backups_that_crowd_each_other_out_stand_in_the_end() -> None:
    """Two that could back both uses don't fit together; how long they wait may not be the least."""
    day = read_day(tiny_day(83132))
    plan = solve(day)
    assert audit(day, plan) == []
    best, told = brute(day), plan.objective
    found = (told.unmet, told.unbacked, told.cost, told.hands_min)
    assert tuple(map(float, found)) == tuple(map(float, best.goals[:4]))
    assert plan.bounds.waiting_min is None or plan.bounds.waiting_min <= best.waiting_min
