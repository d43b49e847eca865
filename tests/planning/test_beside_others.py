"""Dishes placed beside others that stand, on tiny days: as a long day is planned."""

import pytest

from app.planning import joining
from app.planning.audit import audit
from app.planning.families import families_of
from app.planning.reading import read_day
from app.planning.scope import Scope
from app.planning.solve import solve
from tests.random_days import meeting, newest, tiny_day

LITTLE_WORK = 0.7
DAYS = 30
PARTS = 3
# Beside the buns a batch of pies holds one; in an endless kitchen two go from it to one use.
TOO_LARGE = 22_261


@pytest.mark.parametrize("part", range(PARTS))
def test_beside_others_a_tiny_day_keeps_every_rule(
    part: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tests that each family knows what those before it take, whatever days are made of.

    A rule of the model alone is not known there: what of it is taken, `Occupied` has to tell.
    """
    monkeypatch.setattr(joining, "WHOLE", 0)
    beside_others = 0
    for seed in [*newest(DAYS), *meeting(DAYS)][part::PARTS]:
        day = read_day(tiny_day(seed))
        if len(families_of(Scope(day))) > 1:
            assert audit(day, solve(day, work=LITTLE_WORK)) == [], seed
            beside_others += 1
    assert beside_others >= DAYS // PARTS


def test_a_shape_that_holds_more_than_fits_beside_others_is_not_taken() -> None:
    """Tests a day that stopped the planner: what is held was more than the model could hold."""
    day = read_day(tiny_day(TOO_LARGE))
    assert audit(day, solve(day)) == []
