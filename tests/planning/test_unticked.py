"""What should have begun and nobody spoke of, and the ticks that take it as done when planned."""

from app.planning.day import Day
from app.planning.day_now import day_now
from app.planning.events import AnyEvent, Dropped, Lost, Started, Undone
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.undoing import standing
from app.planning.unticked import Due, as_planned, unticked

ON = "2027-03-04T"
FIRST = Started(n=1, at=f"{ON}11:30", once="a", by="Ada", batch="b1")
OTHER = Dropped(n=2, at=f"{ON}11:58", once="b", by="Ada", run="knots-take-2")


def _open(day: Day, plan: Plan, now: str, *events: AnyEvent) -> list[str]:
    minute = Clock(day.timezone).minute(ON + now)
    told = standing(events)
    return [batch.id for batch in unticked(day_now(day, told), plan, told, minute)]


def test_what_nobody_spoke_of_is_open_once_its_start_is_gone(
    knots_day: Day, knots_plan: Plan
) -> None:
    """An accident speaks of no batch; a tick that is taken back never was."""
    assert _open(knots_day, knots_plan, "11:30") == []
    assert _open(knots_day, knots_plan, "12:00") == ["b1", "b2"]
    assert _open(knots_day, knots_plan, "12:00", FIRST, OTHER) == ["b2"]
    back = Undone(n=3, at=f"{ON}11:59", once="c", by="Ada", undoes=1)
    assert _open(knots_day, knots_plan, "12:00", FIRST, OTHER, back) == ["b1", "b2"]


def test_who_speaks_of_a_copy_has_spoken_of_its_batch(knots_day: Day, knots_plan: Plan) -> None:
    """A copy that fell was there."""
    lost = Lost(n=1, at=f"{ON}11:55", once="a", by="Ada", copy_id="knots/scaled/1")
    assert _open(knots_day, knots_plan, "12:00", lost) == ["b2"]


def test_it_is_taken_as_done_when_planned_as_far_as_that_is_gone(
    knots_day: Day, knots_plan: Plan
) -> None:
    """What ends a minute later is under way; the ticks stand in the order of their times."""
    now = Clock(knots_day.timezone).minute(f"{ON}12:00")
    due = as_planned(knots_day, unticked(knots_day, knots_plan, (), now), now)
    assert due == [
        Due("started", "b1", f"{ON}11:30"),
        Due("started", "b2", f"{ON}11:49"),
        Due("staged", "b1", f"{ON}11:49"),
    ]
