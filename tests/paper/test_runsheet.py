"""Run sheet: what airs when, what goes to set from where, and what is reset."""

from app.paper.runsheet import PAPER, pages
from app.planning.day import Day
from app.planning.plan import Plan
from tests.paper.days import hard_day
from tests.paper.naive import naive
from tests.paper.opened import Opened

PRINTED = "2027-03-03T18:05"


def test_beats_stand_as_they_air(knots_day: Day, knots_plan: Plan) -> None:
    """Two takes of three beats; 14:00 and 30 s into it is 14:00."""
    (page,) = pages(knots_day, knots_plan)
    rows = [(row.starts, row.second, row.name) for part in page.parts for row in part.rows]
    assert rows == [
        ("14:00", "at 0:30 for 2:30", "mix"),
        ("14:03", "at 3:20 for 2:00", "tie"),
        ("14:05", "at 5:30 for 1:00", "reveal"),
        ("15:30", "at 0:30 for 2:30", "mix"),
        ("15:33", "at 3:20 for 2:00", "tie"),
        ("15:35", "at 5:30 for 1:00", "reveal"),
    ]


def test_a_row_says_what_goes_to_set_what_stands_by_and_what_comes_back(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Six are revealed with six beside them; the mixed dough comes back."""
    (page,) = pages(knots_day, knots_plan)
    mix, tie, reveal = page.parts[0].rows
    use = next(each for each in knots_plan.uses if (each.run, each.beat) == ("knots-take-1", "mix"))
    tag = next(copy.tag for copy in knots_plan.copies if copy.id == use.copies[0])
    assert [each.label for each in mix.takes] == [tag]
    assert mix.fetch_by == "13:50"
    assert mix.comes_back
    assert tie.takes
    assert reveal.backups
    assert not reveal.lacks


def test_a_run_ends_with_its_reset(knots_day: Day, knots_plan: Plan) -> None:
    """What the next take wants again; after the last the set is cleared."""
    (page,) = pages(knots_day, knots_plan)
    first, last = (part.reset for part in page.parts)
    assert first is not None
    assert last is not None
    assert first.then == "Reset for knots-take-2 at 15:30, 1 h 30 min after this began."
    assert first.again == ("1 scaled", "1 rested", "6 baked and 6 to stand by")
    assert last.then == "No further run of it: clear the set."


def test_runs_at_once_stand_in_air_order(knots_day: Day, knots_plan: Plan) -> None:
    """A run that another one breaks into goes on under its name; it is reset once, at its end."""
    first, second = knots_day.runs
    day = knots_day.model_copy(
        update={"runs": (first, second.model_copy(update={"starts": "2027-03-04T14:02"}))}
    )
    (page,) = pages(day, knots_plan)
    assert [part.is_more for part in page.parts].count(False) == 2
    assert any(part.is_more for part in page.parts)
    starts = [row.starts for part in page.parts for row in part.rows]
    assert starts == sorted(starts)
    assert sum(part.reset is not None for part in page.parts) == 2


def test_what_is_short_stands_in_its_row(knots_day: Day, knots_plan: Plan) -> None:
    """Nobody has to look for it elsewhere."""
    uses = tuple(use for use in knots_plan.uses if use.beat != "tie")
    words = Opened(
        PAPER.draw(knots_day, knots_plan.model_copy(update={"uses": uses}), PRINTED, "A4")
    ).words
    assert words.count("SHORT of 1 rested") == 2


def test_a_dry_run_says_that_nothing_goes_to_set() -> None:
    """It still takes its time."""
    day = hard_day()
    words = Opened(PAPER.draw(day, naive(day), PRINTED, "letter")).words
    assert "without food: nothing goes to set" in words
