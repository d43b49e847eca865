"""Breakdown: stages, ways, beats and counts of each demonstration."""

from app.paper.breakdown import PAPER, pages
from app.planning.day import Day
from app.planning.plan import Plan
from tests.paper.naive import naive
from tests.paper.opened import Opened

PRINTED = "2027-03-03T18:05"


def test_each_stage_tells_its_ways_and_which_are_planned(knots_day: Day, knots_plan: Plan) -> None:
    """The dough can rest in the room or overnight; a plan of one day rests it in the room."""
    (page,) = pages(knots_day, knots_plan)
    rested = next(each for each in page.stages if each.name == "rested")
    assert [(words.split(":")[0], is_used) for words, _, is_used in rested.ways] == [
        ("room", True),
        ("overnight", False),
    ]
    assert rested.ways[1][1] == (
        "Wait. Stands: chill. 10 h.",
        "Wait. Stands: ambient. 45 min.",
    )


def test_counts_add_up(knots_day: Day, knots_plan: Plan) -> None:
    """Made, in stock and used again make all copies of the plan."""
    (page,) = pages(knots_day, knots_plan)
    made = sum(count.made + count.stock + count.carried_in for _, count in page.counts)
    assert made == len(knots_plan.copies)


def test_a_beat_tells_what_is_swapped_in_left_and_used_again(
    knots_day: Day, knots_plan: Plan
) -> None:
    """What the first take leaves serves the second."""
    (page,) = pages(knots_day, knots_plan)
    mix, _, reveal = page.swaps
    assert mix.takes == ("1 scaled",)
    assert mix.leaves == ("1 mixed",)
    assert reveal.takes == ("6 baked, not yet on camera, 6 to stand by",)
    assert reveal.leaves == ()
    carried = {copy.tag for copy in knots_plan.copies if copy.made_by.use and copy.taken_by}
    told = " ".join(words for swap in page.swaps for words in swap.again)
    assert all(tag in told or " to " in told for tag in carried)


def test_a_demonstration_takes_a_page_or_two(example_day: Day) -> None:
    """On paper the example has two or three pages for each of its six demonstrations."""
    opened = Opened(PAPER.draw(example_day, naive(example_day), PRINTED, "A4"))
    assert len(opened.pages) <= 2 * len(example_day.demonstrations) + 2
