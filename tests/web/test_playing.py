"""Days played outside the request: in a process of their own, once for a plan."""

import threading

import pytest

from app.planning.day import Day
from app.planning.happened import happened
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.risk.chances import risk_of
from app.planning.risk.found import Risk
from app.web.playing import NotPlayed, Played, Playing, Since, played_apart
from tests.planning.told import log

PATIENCE_S = 60


def few(day: Day, plan: Plan, since: Since | None = None) -> Risk:
    """Play a day a few times, here."""
    state = None if since is None else happened(day, plan, since.events, since.now)
    return risk_of(day if state is None else state.day, plan, 50, state=state)


def wait(played: Played) -> Played:
    """Wait until it is over."""
    assert played.done.wait(PATIENCE_S)
    return played


def test_another_process_tells_the_same(knots_day: Day, knots_plan: Plan) -> None:
    """What comes through the pipe is what is told here."""
    assert played_apart(knots_day, knots_plan) == risk_of(knots_day, knots_plan)


def test_another_process_tells_the_same_of_what_is_to_come(
    knots_day: Day, knots_plan: Plan
) -> None:
    """What was told goes through the pipe as well."""
    now = Clock(knots_day.timezone).minute("2027-03-04T12:05")
    since = Since(tuple(log(("started", "11:40", {"batch": "b1"}))), now)
    state = happened(knots_day, knots_plan, since.events, now)
    told = risk_of(state.day, knots_plan, state=state)
    assert played_apart(knots_day, knots_plan, since) == told
    assert told.so_far is not None


def test_what_breaks_the_other_process_is_told_in_a_sentence(
    knots_day: Day, knots_plan: Plan
) -> None:
    """A plan that names a way which the day has not: a fault, not a hang."""
    batch = knots_plan.batches[0].model_copy(update={"way": "none"})
    broken = knots_plan.model_copy(update={"batches": (batch, *knots_plan.batches[1:])})
    with pytest.raises(NotPlayed, match="fault of this program"):
        played_apart(knots_day, broken)


def test_a_plan_is_played_once(knots_day: Day, knots_plan: Plan) -> None:
    """Asked for again it is there; another plan of the production takes its place."""
    asked: list[int] = []

    def counted(day: Day, plan: Plan, since: Since | None = None) -> Risk:
        asked.append(plan.number)
        return few(day, plan)

    playing = Playing(counted)
    first = wait(playing.begin(1, knots_day, knots_plan))
    assert playing.begin(1, knots_day, knots_plan.model_copy()) is first
    assert playing.kept(1, knots_day, knots_plan) is first
    newer = knots_plan.model_copy(update={"number": 2})
    assert playing.kept(1, knots_day, newer) is None
    wait(playing.begin(1, knots_day, newer))
    assert playing.kept(1, knots_day, knots_plan) is None
    assert asked == [1, 2]


def test_what_failed_is_tried_again_when_somebody_says_so(knots_day: Day, knots_plan: Plan) -> None:
    """Not each time that a page looks."""
    failing = [True, False]

    def unlucky(day: Day, plan: Plan, since: Since | None = None) -> Risk:
        if failing.pop(0):
            raise NotPlayed("The process that plays the day is gone.")
        return few(day, plan)

    playing = Playing(unlucky)
    first = wait(playing.begin(1, knots_day, knots_plan))
    assert first.failed == "The process that plays the day is gone."
    assert playing.begin(1, knots_day, knots_plan) is first
    again = wait(playing.begin(1, knots_day, knots_plan, again=True))
    assert (again.failed, again.risk) == (None, few(knots_day, knots_plan))


def test_one_day_is_played_at_a_time(knots_day: Day, knots_plan: Plan) -> None:
    """Two productions asked for at once follow each other, and both are there."""
    busy, most = threading.Semaphore(1), []

    def alone(day: Day, plan: Plan, since: Since | None = None) -> Risk:
        most.append(busy.acquire(blocking=False))
        told = few(day, plan)
        busy.release()
        return told

    playing = Playing(alone)
    both = [playing.begin(number, knots_day, knots_plan) for number in (1, 2)]
    assert all(wait(each).risk for each in both)
    assert most == [True, True]
