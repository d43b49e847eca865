"""What becomes of each copy, read from a plan."""

from app.planning.day import Day
from app.planning.plan import Plan
from app.web.charts.fates import airings, fates


def test_every_copy_of_the_demonstration_is_in_one_line(knots_day: Day, knots_plan: Plan) -> None:
    """And every line's copies have one fate."""
    found = fates(knots_day, knots_plan, "knots")
    told = [(tag, leg.stage) for line in found.lines for tag in line.tags for leg in line.legs]
    assert sorted(told) == sorted((copy.tag, copy.stage) for copy in knots_plan.copies)


def test_copies_with_the_same_fate_share_a_line(knots_day: Day, knots_plan: Plan) -> None:
    """Eighteen knots go three ways: to take 1, to take 2 as its backups first, and only backup."""
    lines = [line for line in fates(knots_day, knots_plan, "knots").lines if len(line.tags) > 1]
    assert [len(line.tags) for line in lines] == [6, 6, 6]
    ends = [line.legs[-1] for line in lines]
    assert [[each.run for each in leg.on_set] for leg in ends] == [
        ["knots-take-1"],
        ["knots-take-2"],
        [],
    ]
    assert [[each.run for each in leg.backs] for leg in ends] == [
        [],
        ["knots-take-1"],
        ["knots-take-2"],
    ]


def test_what_a_beat_left_is_told_from_what_never_was_on_camera(
    knots_day: Day, knots_plan: Plan
) -> None:
    """KN-4 is mixed on camera, rested after, tied on camera; all after the mixing is touched."""
    lines = fates(knots_day, knots_plan, "knots").lines
    fourth = next(line for line in lines if line.tags == ("KN-4",))
    assert [(leg.stage, leg.touched) for leg in fourth.legs] == [
        ("scaled", False),
        ("mixed", True),
        ("rested", True),
    ]
    untouched = [leg for line in lines if line != fourth for leg in line.legs]
    assert not any(leg.touched for leg in untouched)


def test_beats_stand_in_air_order(knots_day: Day) -> None:
    """Of both takes, to the second."""
    found = airings(knots_day, "knots")
    assert [each.beat for each in found] == ["mix", "tie", "reveal"] * 2
    assert [each.ends_s - each.starts_s for each in found] == [150, 120, 60] * 2
