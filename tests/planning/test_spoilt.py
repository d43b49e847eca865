"""What a reading spoils of a dish that is not made yet: what goes into it, and nothing to come."""

import json
from typing import Any

import pytest

from app.food.held import Reading
from app.planning.day import Day
from app.planning.events import Lost, Measured, Undone
from app.planning.histories import US, Watch
from app.planning.plan import Plan
from app.planning.readings import spoilt_by
from app.planning.spoilt import Spoiling, lost_because
from tests.planning.test_clocks import CUSTARD, at, minute, plan_with, read


def dished() -> tuple[Day, Plan]:
    """Return a day on which a custard is dished up at 15:40 and eaten at 16:00, and its plan."""
    document: dict[str, Any] = json.loads(json.dumps(CUSTARD))
    custard = document["demonstrations"][0]
    dish = {"phases": [{"lasts_min": 10, "hands": 1}], "id": "hand"}
    custard["stages"].append(
        {"id": "dish", "from": [{"stage": "set"}], "keeps_min": 120, "ready_to_eat": True,
         "needs_temperature_control": True, "safety_min": 120, "ways": [dish]}
    )  # fmt: skip
    custard["beats"][0]["needs"] = [{"stage": "dish", "tasting": True}]
    plan = plan_with().document()
    plan["batches"].append(
        {"id": "b2", "demonstration": "custard", "stage": "dish", "way": "hand",
         "consumes": ["custard/set/1"], "copies": ["custard/dish/1"],
         "phases": [{"starts": at("15:40"), "ends": at("15:50")}]}
    )  # fmt: skip
    plan["copies"][0] |= {"role": "feeds", "taken_by": [{"batch": "b2"}]}
    plan["copies"].append(
        {"id": "custard/dish/1", "tag": "CD-1", "demonstration": "custard", "stage": "dish",
         "staged_at": at("15:50"), "made_by": {"batch": "b2"}, "role": "camera",
         "taken_by": [{"use": ["tasting", "taste"]}], "places": []}
    )  # fmt: skip
    plan["uses"] = [
        {"run": "tasting", "beat": "taste", "stage": "dish", "copies": ["custard/dish/1"],
         "backups": []}
    ]  # fmt: skip
    plan.pop("day", None)
    return Day.model_validate(document), Plan.model_validate(plan)


def test_what_goes_into_a_dish_to_come_is_lost_and_the_dish_is_not() -> None:
    """Who lost the dish would have it begun and all of it used; another custard will do."""
    day, plan = dished()
    (lost,) = Spoiling(day, plan, read(("11:45", 28)), set()).losses(minute("11:45"))
    assert lost.copy.id == "custard/set/1"
    assert lost_because(day, lost) == (
        "It cooled too slowly: still 28 °C at 11:45; 21 °C was due by 11:30 (3-501.14). "
        "It was to go into CD-1. Next best: CU-2, fridge, level 1, slot 2."
    )


def test_a_dish_that_is_made_is_lost_itself() -> None:
    day, plan = dished()
    (lost,) = Spoiling(day, plan, read(("11:45", 28)), set()).losses(minute("15:45"))
    assert lost.copy.id == "custard/dish/1"


def test_it_is_lost_once() -> None:
    """Before the plan is mended the dish still stands in it, and is warned of."""
    day, plan = dished()
    spoiling = Spoiling(day, plan, read(("11:45", 28)), {"custard/set/1"})
    assert spoiling.losses(minute("11:50")) == []
    assert [each.copy.id for each in spoiling.found(minute("11:50"))] == ["custard/dish/1"]


def test_where_nothing_else_is_there_it_says_so() -> None:
    day, plan = dished()
    slow = (Reading(minute("11:45"), 28),)
    watch = Watch(readings={f"custard/set/{n}": slow for n in (1, 2, 3)})
    (lost,) = Spoiling(day, plan, watch, set()).losses(minute("11:45"))
    assert lost_because(day, lost).endswith("No other copy can take its place.")


@pytest.mark.parametrize(("celsius", "is_lost"), [(9.0, True), (4.0, False)])
def test_what_was_found_warm_in_the_chill_is_lost_by_its_clock(
    celsius: float, is_lost: bool
) -> None:
    """Last known cold at 10:40: four hours are over when it is eaten (Food Code 3-501.19)."""
    day, plan = dished()
    watch = read(("10:50", 4), ("11:00", celsius))
    lost = [each.copy.id for each in Spoiling(day, plan, watch, set()).losses(minute("11:00"))]
    assert lost == (["custard/set/1"] if is_lost else [])


def test_it_comes_back_with_the_reading_also_where_the_plan_was_mended() -> None:
    """The mended plan dishes up another; nothing shows the first to be spoilt any more."""
    day, plan = dished()
    said = {"at": at("11:45"), "by": "Ada"}
    warm = Measured.model_validate(
        said | {"n": 1, "once": "m", "copy": "custard/set/1", "celsius": 28.0}
    )
    (lost,) = spoilt_by(day, plan, [warm], US, minute("11:45"))
    assert isinstance(lost, Lost)
    document = plan.document()
    document["batches"][1]["consumes"] = ["custard/set/2"]
    document["copies"][0] |= {"role": "spare", "taken_by": []}
    document["copies"][1] |= {"role": "feeds", "taken_by": [{"batch": "b2"}]}
    mended = Plan.model_validate(document)
    undo = Undone.model_validate(said | {"n": 3, "once": "u", "undoes": 1})
    assert spoilt_by(day, mended, [warm, lost], US, minute("11:45")) == []
    (back,) = spoilt_by(day, mended, [warm, lost, undo], US, minute("11:45"))
    assert isinstance(back, Undone)
    assert back.undoes == 2
