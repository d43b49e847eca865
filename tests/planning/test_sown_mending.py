"""Small days under way that catch what a bug sown into what has begun would change."""

from typing import Any

import pytest

from app.planning.audit import audit
from app.planning.mending import mend
from app.planning.reading import read_day
from app.planning.replan import replan
from app.planning.solve import solve
from tests.planning.drafts import Facts, at, beat, day, run, stage
from tests.planning.told import log


def _bakes(setting: int) -> Facts:
    entry = {"kind": "oven", "setting": setting, "per_batch": 1}
    return {"id": "way", "batch_max": 1, "phases": [{"lasts_min": 30, "equipment": [entry]}]}


def _lacking(second: int, units: int, moves_to: str) -> int:
    """Return what lacks once the second take is moved while bread is in the oven.

    Bread bakes at 200 from 12:30 to 13:00, for a take at that time; another take, in the
    afternoon, shows what bakes as long at a setting of its own. Ten minutes lie between two
    settings. At 12:32 somebody tells that the second take is much earlier.
    """
    oven: dict[str, Any] = {"id": "oven", "kind": "oven", "units": units}
    facts = day(
        [stage("bread", _bakes(200), keeps_min=10), stage("cake", _bakes(second), keeps_min=10)],
        [beat("first", 0, 60, {"bread": 1}, {}), beat("second", 0, 60, {"cake": 1}, {})],
        [
            run("one", "13:00", beats=["first"], kind="pickup"),
            run("two", "16:00", beats=["second"], kind="pickup"),
        ],
        kitchen={"crew": [], "equipment": [oven | {"settings": {"change_min": 10}}]},
        policy={"ready_margin_min": 0},
    )
    read = read_day(facts)
    plan = solve(read)
    bread = next(each for each in plan.batches if each.stage == "bread")
    assert bread.phases[0].starts == at("12:30")
    told = log(
        ("started", "12:30", {"batch": bread.id}),
        ("moved", "12:32", {"run": "two", "starts": moves_to}),
    )
    mended = replan(read, plan, told, at("12:32"), mend)
    assert audit(mended.day, mended.plan, told, at("12:32")) == []
    return mended.plan.objective.unmet


@pytest.mark.parametrize(("moves_to", "unmet"), [("13:30", 0), ("13:29", 1)])
def test_what_is_in_an_oven_leaves_no_room(moves_to: str, unmet: int) -> None:
    """The only unit is free at 13:00."""
    assert _lacking(200, 1, moves_to) == unmet


@pytest.mark.parametrize(("moves_to", "unmet"), [("13:40", 0), ("13:39", 1)])
def test_from_what_is_in_an_oven_to_another_setting_takes_time(moves_to: str, unmet: int) -> None:
    """There is a unit free, at the wrong setting until 13:10."""
    assert _lacking(160, 2, moves_to) == unmet


def test_an_oven_that_something_is_in_is_hot() -> None:
    """There is a unit free, at the right setting: nobody waits for heat."""
    assert _lacking(200, 2, "13:03") == 0
