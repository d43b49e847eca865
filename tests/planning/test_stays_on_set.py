"""What a beat leaves and its own run takes again stays on set, unless it backs a use meanwhile."""

import pytest

from app.planning.audit import audit
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.solve import solve
from tests.bench.tiny_days import verdict
from tests.planning.drafts import beat, cook, day, run, stage, way
from tests.random_days import tiny_day

# A copy that stays on set backs a use of the same run.
SAME_RUN = 106_536


def _day(levels: list[int]) -> Day:
    """Return a day on which one run leaves what it takes an hour later, and another is between."""
    beats = [
        beat("leave", 0, 60, {}, {"done": 1}),
        beat("other", 1200, 60, {"done": {"count": 1, "backups": 1}}, {}),
        beat("take", 3600, 60, {"done": 1}, {}),
    ]
    runs = [run("one", "10:00", beats=["leave", "take"]), run("two", "10:00", beats=["other"])]
    rack = {"id": "rack", "zone": "ambient", "levels": levels}
    kitchen = {"crew": [cook("ada", ("09:00", "09:30"))], "shelves": [rack]}
    stages = [stage("done", way(10, most=1), keeps_min=300, zone="ambient")]
    return read_day(day(stages, beats, runs, kitchen=kitchen, policy={"ready_margin_min": 2}))


def _planned(levels: list[int]) -> Plan:
    told = _day(levels)
    plan = solve(told)
    assert audit(told, plan) == []
    return plan


def test_what_stays_on_set_and_backs_a_use_between_has_its_place() -> None:
    plan = _planned([2])
    assert (plan.objective.unmet, plan.objective.unbacked) == (0, 0)
    left = next(copy for copy in plan.copies if copy.made_by.use)
    (place,) = left.places
    assert (place.from_[11:], place.to[11:]) == ("10:06", "10:58")


def test_where_there_is_no_place_for_it_it_stays_on_set_and_backs_nothing() -> None:
    """A backup that lacks never costs a copy."""
    plan = _planned([1])
    assert (plan.objective.unmet, plan.objective.unbacked) == (0, 1)
    assert [copy.places for copy in plan.copies if copy.made_by.use] == [()]


@pytest.mark.parametrize("facts", [_day([1]), read_day(tiny_day(SAME_RUN))])
def test_nothing_better_is_found_by_trying_everything(facts: Day) -> None:
    word, told = verdict(facts)
    assert word in ("equal", "not proven"), told
