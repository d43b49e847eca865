"""What may be eaten and what is in it, as far as the day says."""

import json
from typing import Any

from app.planning.day import Day
from app.planning.eating import contained, eating, touched
from app.planning.minutes import Clock
from app.planning.plan import Copy, Plan


def changed(day: Day, stage: str, **facts: Any) -> Day:
    """Return the day with other facts for one stage of the knots."""
    document = json.loads(day.model_dump_json(by_alias=True))
    next(s for s in document["demonstrations"][0]["stages"] if s["id"] == stage).update(facts)
    return Day.model_validate(document)


def copy_named(plan: Plan, id: str) -> Copy:
    """Return a copy of the plan."""
    return next(copy for copy in plan.copies if copy.id == id)


BAKED = "knots/baked/13"


def test_what_nobody_said_to_be_safe_is_not_for_eating(knots_day: Day, knots_plan: Plan) -> None:
    assert not eating(knots_day, knots_plan, copy_named(knots_plan, BAKED), 0).is_safe


def test_a_stage_that_is_ready_to_eat_may_be_eaten_until_its_time(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Staged at 13:55 and safe for two hours: until 15:55."""
    day = changed(knots_day, "baked", ready_to_eat=True, safety_min=120)
    told = eating(day, knots_plan, copy_named(knots_plan, BAKED), 0)
    assert told.is_safe
    assert told.until is not None
    assert Clock(day.timezone).hour(told.until) == "15:55"


def test_what_needs_cold_and_has_no_limit_is_not_for_eating(
    knots_day: Day, knots_plan: Plan
) -> None:
    day = changed(knots_day, "baked", ready_to_eat=True, needs_temperature_control=True)
    assert not eating(day, knots_plan, copy_named(knots_plan, BAKED), 0).is_safe


def test_what_has_been_on_camera_is_not_for_eating(knots_day: Day, knots_plan: Plan) -> None:
    """The first six are shown at 14:05; somebody asks before and after."""
    day = changed(knots_day, "baked", ready_to_eat=True)
    shown, minute = copy_named(knots_plan, "knots/baked/1"), Clock(day.timezone).minute
    assert eating(day, knots_plan, shown, minute("2027-03-04T14:05")).is_safe
    assert not eating(day, knots_plan, shown, minute("2027-03-04T14:06")).is_safe


def test_what_is_made_from_a_shown_copy_counts_as_shown(knots_plan: Plan) -> None:
    """The dough that the first take mixes on camera is rested for the second."""
    shown = touched(knots_plan)
    assert {"knots/mixed/4", "knots/rested/4"} <= shown
    assert "knots/tied/1" not in shown


def test_allergens_come_down_from_the_stages_above(knots_day: Day) -> None:
    flour = {"name": "strong flour", "contains": ["wheat"]}
    egg = {"name": "egg wash", "contains": ["egg"]}
    day = changed(changed(knots_day, "scaled", ingredients=[flour]), "baked", ingredients=[egg])
    told = contained(day, "knots", "baked")
    assert [(each.allergen, each.ingredients) for each in told] == [
        ("egg", ("egg wash",)),
        ("wheat", ("strong flour",)),
    ]
    assert [each.allergen for each in contained(day, "knots", "mixed")] == ["wheat"]


def test_what_a_beat_adds_is_in_what_it_leaves(knots_day: Day) -> None:
    """The mixed dough that comes back from set holds what went in on set."""
    document = json.loads(knots_day.model_dump_json(by_alias=True))
    document["demonstrations"][0]["beats"][0]["ingredients"] = [
        {"name": "butter", "contains": ["milk"]}
    ]
    day = Day.model_validate(document)
    assert [each.allergen for each in contained(day, "knots", "rested")] == ["milk"]
