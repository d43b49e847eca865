"""What was staged so early that it is too old for what is to take it."""

from typing import Any

from app.planning.aged import too_early
from app.planning.day import Day
from app.planning.plan import Plan

ON = "2027-03-04T"


def keeping(day: Day, stage: str, **facts: Any) -> Day:
    """Return a day of which one stage says something else."""
    document = day.model_dump(mode="json", by_alias=True, exclude_unset=True)
    stages = document["demonstrations"][0]["stages"]
    next(each for each in stages if each["id"] == stage).update(facts)
    return Day.model_validate(document)


def test_what_a_batch_is_to_take_may_be_too_old_then(knots_day: Day, knots_plan: Plan) -> None:
    """Mixed dough keeps 20 min, and the rest begins at 12:13."""
    assert too_early(knots_day, knots_plan, {"b2"}, {"b2": f"{ON}11:52"}) == {"b2"}
    assert too_early(knots_day, knots_plan, {"b2"}, {"b2": f"{ON}11:53"}) == set()


def test_what_has_been_taken_already_is_not_too_old(knots_day: Day, knots_plan: Plan) -> None:
    """Whoever staged the dough early began its rest early as well."""
    assert too_early(knots_day, knots_plan, {"b2", "b4"}, {"b2": f"{ON}11:52"}) == set()


def test_a_beat_and_a_tasting_ask_for_fresh_copies(knots_day: Day, knots_plan: Plan) -> None:
    """The dough that is tied at 14:03 is planned at 13:53, the knots that 14:05 shows at 13:55."""
    day = keeping(knots_day, "rested", keeps_min=10)
    assert too_early(day, knots_plan, {"b6"}, {"b6": f"{ON}13:53"}) == set()
    assert too_early(day, knots_plan, {"b6"}, {"b6": f"{ON}13:52"}) == {"b6"}
    eaten = keeping(knots_day, "baked", ready_to_eat=True, safety_min=100)
    assert too_early(eaten, knots_plan, {"b8"}, {"b8": f"{ON}13:50"}) == set()
    document = eaten.model_dump(mode="json", by_alias=True, exclude_unset=True)
    document["demonstrations"][0]["beats"][2]["needs"][0]["tasting"] = True
    tasted = Day.model_validate(document)
    assert too_early(tasted, knots_plan, {"b8"}, {"b8": f"{ON}13:50"}) == {"b8"}


def test_a_backup_may_be_too_old_as_well(knots_day: Day, knots_plan: Plan) -> None:
    """Those of the last reveal are taken by nothing, and stand ready at 15:35."""
    day = keeping(knots_day, "baked", keeps_min=100)
    uses = tuple(
        use.model_copy(update={"copies": ()}) if use.stage == "baked" else use
        for use in knots_plan.uses
    )
    copies = tuple(
        copy.model_copy(update={"taken_by": ()}) if copy.stage == "baked" else copy
        for copy in knots_plan.copies
    )
    plan = knots_plan.model_copy(update={"uses": uses, "copies": copies})
    assert too_early(day, plan, {"b8"}, {"b8": f"{ON}13:54"}) == {"b8"}
    assert too_early(day, plan, {"b8"}, {"b8": f"{ON}14:00"}) == set()
