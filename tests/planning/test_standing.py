"""Which copy stands where at a minute, read from the plan of the knots."""

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.moments import left_minute, use_minute
from app.planning.plan import Plan
from app.planning.standing import Destinations, place_in_words, standing_at, stays


def seen_at(day: Day, plan: Plan, hour: str) -> list[tuple[str, int, int, str]]:
    """Return tags, level, slot and destination of all that stands at a time of the day."""
    minute = Clock(day.timezone).minute(f"2027-03-04T{hour}")
    return [
        (stay.label, stay.level, stay.slot, stay.bound_for)
        for stay in standing_at(stays(day, plan), minute)
    ]


def test_a_copy_stands_from_the_minute_it_is_staged(knots_day: Day, knots_plan: Plan) -> None:
    assert seen_at(knots_day, knots_plan, "11:48") == []
    assert seen_at(knots_day, knots_plan, "11:49") == [
        ("KN-2", 1, 1, "for mixed 12:01"),
        ("KN-3", 1, 2, "for mixed 12:41"),
        ("KN-4", 1, 3, "for knots-take-1, mix 14:00"),
        ("KN-5", 1, 4, "for knots-take-2, mix 15:30"),
    ]


def test_what_leaves_at_a_minute_makes_room_for_what_comes(
    knots_day: Day, knots_plan: Plan
) -> None:
    at_noon = seen_at(knots_day, knots_plan, "12:01")
    assert at_noon[0] == ("KN-1", 1, 1, "for rested 12:13")


def test_a_phase_on_a_shelf_is_shown_until_its_end(knots_day: Day, knots_plan: Plan) -> None:
    """Two doughs rest, one on each level, dealt out in order."""
    resting = [s for s in stays(knots_day, knots_plan) if s.is_working and s.level == 2]
    assert [(stay.label, stay.bound_for) for stay in resting] == [("KN-2", "until 13:13")]


def test_copies_that_come_and_go_together_are_one_wait(knots_day: Day, knots_plan: Plan) -> None:
    trays = [stay for stay in stays(knots_day, knots_plan) if stay.stage == "baked"]
    assert [len(stay.copies) for stay in trays] == [6, 6]
    assert trays[1].bound_for == "backup for knots-take-2, reveal 15:35"


def test_a_shelf_is_named_as_people_name_it(knots_day: Day) -> None:
    rack = knots_day.kitchen.shelves[0].model_copy(update={"name": "Tall rack"})
    kitchen = knots_day.kitchen.model_copy(update={"shelves": (rack,)})
    named = place_in_words(knots_day.model_copy(update={"kitchen": kitchen}), "rack-1", 2, 3)
    assert named == "Tall rack, level 2, slot 3"


def test_what_waits_overnight_says_for_which_day(knots_day: Day, knots_plan: Plan) -> None:
    """As does what is under way then; what serves on its own day says the hour alone."""
    first = knots_plan.copies[0]
    overnight = first.model_copy(update={"staged_at": "2027-03-03T21:00"})
    words = Destinations(knots_day, knots_plan)
    assert words.of(first).split()[-2:] == ["mixed", "11:49"]
    assert words.of(overnight).split()[-3:] == ["mixed", "Thu", "11:49"]
    assert words.all_of(overnight) == [words.of(overnight)]


def test_a_spare_says_that_it_is_extra(knots_day: Day, knots_plan: Plan) -> None:
    spare = knots_plan.copies[0].model_copy(update={"role": "spare", "taken_by": ()})
    assert Destinations(knots_day, knots_plan).of(spare) == "extra for losses"


def test_a_run_that_starts_at_its_first_beat_airs_earlier(knots_day: Day) -> None:
    """Second 0 of the knots lies 30 s before its first beat, and 200 s before the second."""
    clock = Clock(knots_day.timezone)
    run = knots_day.runs[0]
    assert clock.hour(use_minute(knots_day, run.id, "tie")) == "14:03"
    pickup = run.model_copy(update={"starts_at_first_beat": True, "beats": ("tie",)})
    day = knots_day.model_copy(update={"runs": (pickup,)})
    assert clock.hour(use_minute(day, run.id, "tie")) == "14:00"
    assert clock.hour(left_minute(day, run.id, "tie")) == "14:02"
