"""A core measured too cold: not for eating until it is cooked on or somebody decides by name."""

import json
from dataclasses import replace

from app.planning.care import cautions
from app.planning.cores import core_due_c, core_key
from app.planning.day import Day
from app.planning.eating import Eatings
from app.planning.spoilt import Spoiling
from tests.planning.test_clocks import day_with, minute, plan_with, read, told


def test_a_core_that_is_too_cold_is_not_for_eating() -> None:
    """Off the hob at 09:30 with 68 °C; poultry is cooked to 74 °C (Food Code 3-401.11)."""
    eating = told(read(("09:31", 68)), cook_to_c=74)
    assert not eating.is_safe
    assert eating.why.startswith("Its core was 68 °C at 09:31; 74 °C is due (3-401.11, Food Code")
    assert eating.why.endswith("Cook it on and measure again, or decide by name.")


def test_it_is_for_eating_once_it_is_cooked_on() -> None:
    assert told(read(("09:31", 68), ("09:36", 74)), cook_to_c=74).is_safe
    assert told(read(("09:31", 74)), cook_to_c=74).is_safe


def test_nothing_is_asked_where_nothing_is_due_or_nobody_measured() -> None:
    assert told(read(("09:31", 68))).is_safe
    assert told(cook_to_c=74).is_safe


def test_a_decision_holds_for_that_reading_alone() -> None:
    watch = read(("09:31", 68))
    core = told(watch, cook_to_c=74).core
    assert core is not None
    decided = replace(watch, decided=frozenset({core_key(core)}))
    assert told(decided, cook_to_c=74).is_safe
    again = replace(read(("09:31", 68), ("09:50", 69)), decided=decided.decided)
    assert not told(again, cook_to_c=74).is_safe


def test_a_tasting_is_warned_and_nothing_is_lost_yet() -> None:
    """The copy may be cooked on: it is told, with the next best, and stays in the plan."""
    spoiling = Spoiling(day_with(cook_to_c=74), plan_with(), read(("09:31", 68)), ())
    (found,) = spoiling.found(minute("10:45"))
    assert found.is_mendable
    assert found.next_best is not None
    assert found.next_best.tag == "CU-2"


def with_raw(**facts: object) -> Day:
    """Return the day with the custard made of a raw stage that says what it is cooked to."""
    document = json.loads(day_with(**facts).model_dump_json(by_alias=True, exclude_unset=True))
    stages = document["demonstrations"][0]["stages"]
    raw = {"id": "raw", "keeps_min": 60, "raw_animal": True, "cook_to_c": 74, "zone": "chill"}
    stages.insert(0, raw | {"ways": [{"id": "mix", "phases": [{"lasts_min": 5}]}]})
    stages[1]["from"] = [{"stage": "raw"}]
    return Day.model_validate(document)


def test_what_is_made_of_raw_food_is_cooked_to_what_the_raw_food_says() -> None:
    day = with_raw()
    raw, cooked = day.demonstrations[0].stages
    assert core_due_c(day, "custard", cooked) == 74
    assert core_due_c(day, "custard", raw) is None
    eatings = Eatings(day, plan_with(), read(("09:31", 68)))
    assert eatings.cold_core(plan_with().copies[0]) is not None


def test_the_step_that_heats_says_what_its_core_is_cooked_to() -> None:
    """Beside the day's own caution, and not at the steps without heat."""
    stage = day_with(cook_to_c=74, caution="Hot sugar.").demonstrations[0].stages[0]
    way = stage.ways[0]
    core = "Core 74 °C (165 °F) at least: measure it as it leaves the heat."
    assert cautions(stage, way, 0, 74) == [core, "Hot sugar."]
    assert cautions(stage, way, 1, 74) == ["Hot sugar."]
    assert cautions(stage, way, core_c=74)[0] == core
