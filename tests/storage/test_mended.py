"""What happens on the day is told, and a plan that mends the published one takes its place."""

from typing import Any

import pytest

from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.day_now import day_now
from app.planning.given import names_in
from app.planning.plan import Plan
from app.storage import log
from app.storage.changes.mended import publish_mended
from app.storage.changes.plans import publish_plan
from app.storage.changes.runs import move_run
from app.storage.engine import reading, writing
from app.storage.queries import plans
from app.storage.queries.copies import names_since
from app.storage.queries.history import history
from app.storage.queries.ticks import of_plan, states
from app.storage.refusals import Begun, Conflict, OutOfDate
from app.storage.ticks import TickRefused
from app.storage.translate import day_of
from tests.storage.opened import tick

LATER = "2027-03-04T14:20"
MOVED: dict[str, Any] = {"run": "knots-take-1", "starts": LATER}
DOWN: dict[str, Any] = {
    "equipment": "deck-oven", "from": "2027-03-04T12:00", "to": "2027-03-04T13:00",
}  # fmt: skip
GONE: dict[str, Any] = {
    "crew": "cook-1", "from": "2027-03-04T16:00", "to": "2027-03-04T17:00",
}  # fmt: skip
MORE: dict[str, Any] = {
    "run": {
        "id": "knots-take-3", "demonstration": "knots", "kind": "take",
        "starts": "2027-03-04T16:30",
    }
}  # fmt: skip


def told(production: int, event: str, once: str = "k", **says: Any) -> int:
    """Tell one event and return its number."""
    return log.append(production, [tick(event, once, **says)])[0]


def now_of(production: int, day: Day) -> Day:
    """Return what a day has become by what was told of it."""
    with reading() as connection:
        return day_now(day, states(connection, production).of_the_day)


def mend(production: int, plan: Plan, day: Day, to: int, once: str = "mend") -> int:
    """Publish a plan as one that mends plan 1, knowing of the events to a number."""
    with writing() as connection:
        return publish_mended(
            connection, production, plan, day, told=to, began_from=1, by="Bo", once=once
        )


@pytest.mark.parametrize(
    ("event", "says"),
    [("moved", MOVED), ("added", MORE), ("dropped", {"run": "knots-take-2"}), ("closed", DOWN),
     ("absent", GONE)],
)  # fmt: skip
def test_what_the_day_became_is_told_once_and_can_be_taken_back(
    planned: int, knots_day: Day, event: str, says: dict[str, Any]
) -> None:
    """Saying it again is no second event; after the undo the day is as it was."""
    n = told(planned, event, **says)
    assert told(planned, event, "again", **says) == n
    assert now_of(planned, knots_day) != knots_day
    told(planned, "undone", "back", undoes=n)
    assert now_of(planned, knots_day) == knots_day


@pytest.mark.parametrize(
    ("event", "says", "words"),
    [
        ("moved", MOVED | {"run": "knots-take-9"}, 'no run "knots-take-9" in the day'),
        ("closed", DOWN | {"equipment": "range"}, 'no item "range" in the kitchen'),
        ("absent", GONE | {"to": "2027-03-04T15:00"}, "is not after"),
        ("added", {"run": MORE["run"] | {"id": "knots-take-1"}}, "is the id of another run"),
        ("added", {"run": MORE["run"] | {"demonstration": "rolls"}}, 'no demonstration "rolls"'),
        ("expected", {"batch": "b1", "ends": LATER}, "Nobody has started batch"),
        ("expected", {"batch": "b99", "ends": LATER}, "has no batch"),
    ],
)
def test_what_cannot_be_is_refused(
    planned: int, event: str, says: dict[str, Any], words: str
) -> None:
    """By the rules of an event file, in one sentence; nothing is stored."""
    with pytest.raises(TickRefused, match=words):
        told(planned, event, **says)
    with reading() as connection:
        assert of_plan(connection, planned) == []


def test_a_batch_is_expected_later_until_it_is_staged(planned: int) -> None:
    """The last word holds; what is staged takes no longer."""
    told(planned, "started", "s", batch="b1")
    n = told(planned, "expected", "a", batch="b1", ends="2027-03-04T12:10")
    assert told(planned, "expected", "b", batch="b1", ends="2027-03-04T12:20") == n + 1
    told(planned, "staged", "t", batch="b1")
    with pytest.raises(TickRefused, match="is staged already"):
        told(planned, "expected", "c", batch="b1", ends=LATER)


def test_a_mended_plan_takes_the_place_of_one_under_way(
    planned: int, knots_day: Day, knots_plan: Plan
) -> None:
    """What was ticked still stands, and the production is the day that the plan goes with."""
    told(planned, "started", "s", batch="b1")
    for number, (event, says) in enumerate(
        [("moved", MOVED), ("added", MORE), ("dropped", {"run": "knots-take-2"}), ("closed", DOWN),
         ("absent", GONE)]
    ):  # fmt: skip
        last = told(planned, event, f"e{number}", **says)
    day = now_of(planned, knots_day)
    assert mend(planned, knots_plan, day, last) == 2
    assert mend(planned, knots_plan, day, last) == 2
    with reading() as connection:
        assert day_of(connection, planned) == day
        assert plans.day_planned(connection, planned) == day
        assert not plans.is_outdated(connection, planned)
        assert plans.root_number(connection, planned) == 1
        assert plans.told_to(connection, planned) == last
        assert states(connection, planned).of("b1").state == "started"
        last_change = history(connection, planned)[0]
    assert last_change.words == "Bo accepted plan 2, which mends plan 1."
    assert last_change.before["runs/knots-take-2"] is not None
    assert last_change.after["runs/knots-take-2"] is None


def test_what_was_told_can_be_taken_back_after_the_plan_was_mended(
    planned: int, knots_day: Day, knots_plan: Plan
) -> None:
    """A run that was dropped comes back to its place, a span goes out of the kitchen again."""
    numbers = [
        told(planned, "dropped", "a", run="knots-take-1"), told(planned, "closed", "b", **DOWN)
    ]  # fmt: skip
    mend(planned, knots_plan, now_of(planned, knots_day), numbers[-1])
    for n in numbers:
        last = told(planned, "undone", f"undo-{n}", undoes=n)
    with writing() as connection:
        again = publish_mended(
            connection, planned, knots_plan, knots_day, told=last, began_from=2, by="Bo", once="2"
        )
    assert again == 3
    with reading() as connection:
        assert day_of(connection, planned) == knots_day


def test_what_somebody_changed_meanwhile_stays(
    planned: int, knots_day: Day, knots_plan: Plan
) -> None:
    """The producer's own move of a run is not written over by the mended plan."""
    last = told(planned, "moved", **MOVED)
    with writing() as connection:
        move_run(
            connection, planned, "knots-take-1", "2027-03-04T14:45",
            began_from="2027-03-04T14:00", by="Ada", once="move",
        )  # fmt: skip
    mend(planned, knots_plan, now_of(planned, knots_day), last)
    with reading() as connection:
        assert day_of(connection, planned).run("knots-take-1").starts == "2027-03-04T14:45"
        assert plans.is_outdated(connection, planned)


def test_a_plan_that_events_have_overtaken_is_refused(
    planned: int, knots_day: Day, knots_plan: Plan
) -> None:
    """What went as both plans say is no matter; anything else is."""
    later = knots_plan.batches[2].model_copy(
        update={"phases": (knots_plan.batches[3].phases[0], *knots_plan.batches[2].phases[1:])}
    )
    batches = (*knots_plan.batches[:2], later, *knots_plan.batches[3:])
    mended = knots_plan.model_copy(update={"batches": batches})
    told(planned, "started", "a", batch=knots_plan.batches[0].id)
    told(planned, "started", "b", batch=later.id)
    with pytest.raises(OutOfDate, match="cook-1 told something at 11:49"):
        mend(planned, mended, knots_day, 1)
    assert mend(planned, mended, knots_day, 2) == 2


def test_names_of_plans_before_the_published_one_are_known(
    planned: int, knots_day: Day, knots_plan: Plan
) -> None:
    """The mended plan has one batch less: its labels were printed all the same."""
    gone = knots_plan.batches[-1]
    fewer = knots_plan.model_copy(
        update={
            "batches": knots_plan.batches[:-1],
            "copies": tuple(each for each in knots_plan.copies if each.id not in gone.copies),
        }
    )
    mend(planned, fewer, knots_day, 0)
    with reading() as connection:
        since_first = set(names_since(connection, planned, 1))
        since_mended = set(names_since(connection, planned, 2))
    assert since_first == set(names_in(knots_plan))
    assert since_mended == set(names_in(fewer)) != since_first


def test_two_people_accept_the_same_mending(planned: int, knots_day: Day, knots_plan: Plan) -> None:
    """The second one looks at what changes now."""
    mend(planned, knots_plan, knots_day, 0, once="first")
    with pytest.raises(Conflict, match="Plan 2 was published"):
        mend(planned, knots_plan, knots_day, 0, once="second")


def test_a_waiting_tick_of_the_plan_before_is_taken(
    planned: int, knots_day: Day, knots_plan: Plan
) -> None:
    """A phone without a network ticked a batch that the mended plan still has."""
    mend(planned, knots_plan.model_copy(update={"batches": knots_plan.batches[:-1]}), knots_day, 0)
    assert told(planned, "started", "a", batch="b1", plan=1) == 1
    with pytest.raises(TickRefused, match="Plan 2 has no batch"):
        told(planned, "started", "b", batch=knots_plan.batches[-1].id, plan=1)


def test_no_fresh_plan_while_the_day_is_another_one(
    planned: int, knots_day: Day, knots_plan: Plan
) -> None:
    """An oven that is down leads to mending; once the day says so, a fresh plan may be made."""
    last = told(planned, "closed", **DOWN)
    fresh = knots_plan.model_copy(update={"day": None})
    with pytest.raises(Begun, match="Have it mended instead"), writing() as connection:
        publish_plan(connection, planned, fresh, by="Ada", once="fresh")
    mend(planned, knots_plan, now_of(planned, knots_day), last)
    with writing() as connection:
        assert publish_plan(connection, planned, fresh, by="Ada", once="fresh") == 3
    with reading() as connection:
        assert plans.root_number(connection, planned) == 3
        assert plans.day_planned(connection, planned, 3) != knots_day
        assert fingerprint(plans.day_planned(connection, planned)) != fingerprint(knots_day)
