"""Needs are asked for together with those that may stand in their way, the nearest first."""

from app.planning.blockers.asking import Asking
from app.planning.blockers.case import Case
from app.planning.blockers.deciding import Decider
from app.planning.blockers.facts import Fact, facts_of
from app.planning.blockers.groups import Groups
from app.planning.day import Day
from app.planning.solve import nobody, still
from app.planning.watch import Watch, never

TYING = Fact("need", ("knots-take-1", "tie", "rested"))
REVEALS = [Fact("need", (f"knots-take-{number}", "reveal", "baked")) for number in (1, 2)]


def test_copies_of_one_stage_for_several_runs_are_asked_for_together(knots_day: Day) -> None:
    """The takes of a demonstration want the same stages."""
    groups = Groups(Case(knots_day, backups=False))
    assert groups.stages([REVEALS[0], TYING, REVEALS[1]]) == [REVEALS, [TYING]]


def test_around_a_need_come_those_that_want_the_same_oven_at_about_the_same_time(
    knots_day: Day,
) -> None:
    """What is baked is just out of the oven; what is tied only rested, and never was in it."""
    groups = Groups(Case(knots_day, backups=False))
    first = next(groups.around([TYING, REVEALS[0]], 2))
    assert first == REVEALS


def test_what_its_window_alone_forbids_is_known_at_once(knots_day: Day) -> None:
    """Within ten minutes of the prep nothing can be tied, however large the kitchen."""
    early = knots_day.model_copy(update={"prep_from": "2027-03-04T13:45"})
    case = Case(early, backups=False)
    asking = Asking(case, Decider(Watch(None, still, never, nobody), 1.0))
    others = facts_of(early, case.demonstrations([TYING]))
    assert asking.beyond_windows([TYING], others) == [TYING]
    assert (
        asking.beyond_windows([TYING], [fact for fact in others if fact.kind != "prep_from"]) == []
    )
    assert asking.is_beyond_windows([TYING, *others])
