"""Tools, tins and equipment, with the most in use at once."""

from app.planning.day import Day
from app.planning.gear import Gear, gear
from app.planning.plan import Plan
from tests.planning.test_pulls import changed


def named(day: Day, plan: Plan, name: str) -> Gear:
    """Return the one thing of a name."""
    (found,) = [each for each in gear([(day, plan)]) if each.name == name]
    return found


def test_equipment_is_counted_by_its_units(knots_day: Day, knots_plan: Plan) -> None:
    """Eighteen knots at twelve a deck fill both decks; a mixer holds one dough."""
    oven, mixer = (named(knots_day, knots_plan, kind) for kind in ("oven", "mixer"))
    assert (oven.most, oven.there) == (2, 2)
    assert (mixer.most, mixer.there) == (1, 1)


def test_a_tool_is_needed_as_often_as_batches_overlap(knots_day: Day, knots_plan: Plan) -> None:
    """Doughs are mixed one after the other, so one hook does."""
    day = changed(knots_day, "mixed", tools=["dough hook"])
    assert named(day, knots_plan, "dough hook").most == 1


def test_a_container_is_held_until_its_copy_is_taken(knots_day: Day, knots_plan: Plan) -> None:
    """Doughs at rest keep their tub: as many as rest at once, counted minute by minute."""
    day = changed(knots_day, "rested", container="the same tub, oiled")
    assert named(day, knots_plan, "tub").most == _most_at_rest(day, knots_plan)


def test_copies_that_share_a_slot_share_a_container(knots_day: Day, knots_plan: Plan) -> None:
    day = changed(knots_day, "tied", container="tray")
    assert named(day, knots_plan, "tray").most == 2


def test_what_is_used_on_set_counts_for_every_bench(knots_day: Day, knots_plan: Plan) -> None:
    document = knots_day.model_dump(mode="json", by_alias=True)
    document["demonstrations"][0]["beats"][0].update(tools=["Bowl"], dressing=["cloth"])
    document["runs"][0]["stations"] = 8
    day = Day.model_validate(document)
    assert named(day, knots_plan, "Bowl").most == 8
    assert named(day, knots_plan, "cloth").most == 1


def test_two_productions_share_nothing_that_both_hold(knots_day: Day, knots_plan: Plan) -> None:
    """On the same day they need both; a kitchen that serves both is counted for each."""
    both = gear([(knots_day, knots_plan), (knots_day, knots_plan)])
    (oven,) = [each for each in both if each.name == "oven"]
    assert oven.most == 4


def _most_at_rest(day: Day, plan: Plan) -> int:
    """Return the most doughs in tubs at once, told minute by minute."""
    from app.planning.minutes import Clock
    from app.planning.moments import left_minute

    clock = Clock(day.timezone)
    batches = {batch.id: batch for batch in plan.batches}
    last = max(clock.minute(batch.ends) for batch in plan.batches)
    last = max([last, *(left_minute(day, use.run, use.beat) for use in plan.uses)])
    minutes: dict[int, int] = {}
    for copy in plan.copies:
        if copy.stage != "rested" or copy.made_by.batch is None:
            continue
        until = last
        if copy.taken_by:
            taker = copy.taken_by[-1]
            until = (
                clock.minute(batches[taker.batch].starts)
                if taker.batch
                else left_minute(day, *taker.use or ("", "")) + day.policy.return_min
            )
        for minute in range(clock.minute(batches[copy.made_by.batch].starts), until):
            minutes[minute] = minutes.get(minute, 0) + 1
    return max(minutes.values())
