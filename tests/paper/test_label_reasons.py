"""Why a copy is not for eating stands on its label, or the print says that it has no room."""

from dataclasses import replace

from app.paper.label_fitting import LEAST_PT, NoRoom, crowded, fitted
from app.paper.label_sheets import LEAST_HIGH_MM, LEAST_WIDE_MM, roll
from app.paper.label_texts import labels
from app.planning.day import Day, Stage
from app.planning.plan import Plan


def test_a_label_says_why_its_copy_may_not_be_eaten(knots_day: Day, knots_plan: Plan) -> None:
    """Of each kind that a plan or a reading shows; where nothing is against it, nothing."""
    baked = knots_day.demonstrations[0].stage("baked")
    reasons = {
        "": {"ready_to_eat": True},
        "not ready to eat": {"ready_to_eat": False},
        "raw animal food": {"ready_to_eat": False, "raw_animal": True},
        "no time limit given": {"ready_to_eat": True, "needs_temperature_control": True},
    }
    for brief, facts in reasons.items():
        day = with_stage(knots_day, baked.model_copy(update=facts))
        first = next(each for each in labels(day, knots_plan) if each.stage == "baked")
        assert (first.why_not, first.is_safe) == (brief, not brief)
    camera = with_stage(
        knots_day,
        *(
            each.model_copy(update={"ready_to_eat": True})
            for each in knots_day.demonstrations[0].stages
        ),
    )
    told = {each.why_not for each in labels(camera, knots_plan)}
    assert told == {"", "on camera before"}


def test_what_has_no_room_for_its_reason_is_told(knots_day: Day, knots_plan: Plan) -> None:
    """On the smallest label a long name leaves the reason to the code, and the print says so."""
    least = roll("least", LEAST_WIDE_MM, LEAST_HIGH_MM)
    label = labels(knots_day, knots_plan)[0]
    heights = {}
    for words in range(1, 90):
        long = replace(label, place="shelf " * words)
        try:
            heights[words] = fitted(long, least)
        except NoRoom:
            break
    bare = [each for each in heights.values() if each.is_bare]
    assert bare
    assert not heights[1].is_bare
    assert all(each.why_not == "" and each.type_pt == LEAST_PT for each in bare)
    assert "1 label without why it is not for eating." in crowded(bare[:1])


def with_stage(day: Day, *stages: Stage) -> Day:
    """Return the day with other stages of its first demonstration in place of those of the name."""
    new = {each.id: each for each in stages}
    first = day.demonstrations[0]
    first = first.model_copy(
        update={"stages": tuple(new.get(each.id, each) for each in first.stages)}
    )
    return day.model_copy(update={"demonstrations": (first, *day.demonstrations[1:])})
