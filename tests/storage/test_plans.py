"""A published plan keeps its number and its day, and none replaces it once the day has begun."""

import pytest

from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.plan import Plan
from app.storage import log
from app.storage.changes.plans import publish_plan
from app.storage.changes.runs import move_run
from app.storage.engine import reading, writing
from app.storage.queries import batches, copies, plans
from app.storage.refusals import Begun, Conflict, NotThere, OutOfDate
from tests.storage.counting import queries_of
from tests.storage.opened import tick


def publish(knots: int, plan: Plan, once: str, began_from: int | None = None) -> int:
    """Publish a plan as Bo."""
    with writing() as connection:
        return publish_plan(connection, knots, plan, began_from=began_from, by="Bo", once=once)


def test_a_published_plan_is_read_as_it_was_worked_out(
    planned: int, knots_day: Day, knots_plan: Plan
) -> None:
    """All of it comes back; only its number and its day's fingerprint are set."""
    with reading() as connection:
        read = plans.published(connection, planned)
    told = {"number": 1, "day": fingerprint(knots_day)}
    assert read == knots_plan.model_copy(update=told)


def test_a_plan_keeps_the_day_that_it_was_made_from(planned: int, knots_day: Day) -> None:
    """Its board can be printed after the rundown has moved on."""
    with reading() as connection:
        assert not plans.is_outdated(connection, planned)
    with writing() as connection:
        move_run(
            connection, planned, "knots-take-1", "2027-03-04T14:10",
            began_from="2027-03-04T14:00", by="Ada", once="move",
        )  # fmt: skip
    with reading() as connection:
        assert plans.day_planned(connection, planned) == knots_day
        assert plans.is_outdated(connection, planned)


def test_plans_are_numbered_and_the_newest_holds(planned: int, knots_plan: Plan) -> None:
    """Tests that older ones stay to be looked at."""
    assert publish(planned, knots_plan, "again", began_from=1) == 2
    with reading() as connection:
        assert plans.newest_number(connection, planned) == 2
        listed = plans.all_plans(connection, planned)
        assert [(row.number, row.published_by) for row in listed] == [(2, "Bo"), (1, "Ada")]
        assert plans.plan_numbered(connection, planned, 1).number == 1
        with pytest.raises(NotThere, match="no plan 3"):
            plans.plan_numbered(connection, planned, 3)


def test_a_double_tap_publishes_once(planned: int, knots_plan: Plan) -> None:
    """The second tap gets the number of the first."""
    assert publish(planned, knots_plan, "again") == 2
    assert publish(planned, knots_plan, "again") == 2
    with reading() as connection:
        assert plans.newest_number(connection, planned) == 2


def test_two_people_publish_over_the_same_plan(planned: int, knots_plan: Plan) -> None:
    """The second one looks at what changes now before it is accepted."""
    publish(planned, knots_plan, "first", began_from=1)
    with pytest.raises(Conflict, match="Plan 2 was published while you looked at yours"):
        publish(planned, knots_plan, "second", began_from=1)


def test_a_plan_of_a_day_that_has_changed_is_refused(knots: int, knots_plan: Plan) -> None:
    """Tests a rundown that was moved while the plan was worked out."""
    old = knots_plan.model_copy(update={"day": "0" * 64})
    with pytest.raises(OutOfDate, match="Work the plan out again"):
        publish(knots, old, "old")
    with reading() as connection:
        assert plans.newest_number(connection, knots) == 0


def test_a_new_plan_is_refused_once_something_has_started(planned: int, knots_plan: Plan) -> None:
    """The sentence says who began, when, and that the published plan holds."""
    log.append(planned, [tick("started", "a", batch="b1")])
    with pytest.raises(Begun) as told:
        publish(planned, knots_plan, "late")
    assert told.value.words == (
        "Plan 1 has begun: cook-1 ticked the first of it at 11:49. A new plan would not know what "
        "is already made, so it was not published; plan 1 still holds. Have it mended instead."
    )
    with reading() as connection:
        assert plans.newest_number(connection, planned) == 1


def test_a_plan_whose_every_tick_was_taken_back_can_be_replaced(
    planned: int, knots_plan: Plan
) -> None:
    """A slip of a thumb does not hold the day."""
    n = log.append(planned, [tick("started", "a", batch="b1")])[0]
    log.append(planned, [tick("undone", "b", undoes=n)])
    assert publish(planned, knots_plan, "now") == 2


def test_a_production_without_a_plan_has_none(knots: int) -> None:
    """Tests the first screen of a new production."""
    with reading() as connection:
        assert plans.published(connection, knots) is None
        assert plans.newest_number(connection, knots) == 0
        assert batches.batches(connection, knots) == []
        assert copies.copies(connection, knots) == []
        assert not plans.is_outdated(connection, knots)
        with pytest.raises(NotThere, match="no published plan yet"):
            plans.day_planned(connection, knots)


def test_the_rows_of_a_plan_say_what_the_plan_says(planned: int, knots_plan: Plan) -> None:
    """Tests batches, phases and copies against the plan itself."""
    with reading() as connection:
        rows = batches.batches(connection, planned)
        phases = batches.phases(connection, planned)
        staged = copies.copies(connection, planned)
    assert {row.batch: (row.copies, row.starts, row.ends) for row in rows} == {
        each.id: (len(each.copies), each.starts, each.ends) for each in knots_plan.batches
    }
    assert [(row.batch, row.phase) for row in phases] == sorted(
        ((each.id, at) for each in knots_plan.batches for at in range(len(each.phases))),
        key=[(row.batch, row.phase) for row in phases].index,
    )
    assert {row.copy: (row.tag, row.role, row.batch) for row in staged} == {
        each.id: (each.tag, each.role, each.made_by.batch) for each in knots_plan.copies
    }


def test_a_copy_is_found_by_its_tag_however_it_is_typed(planned: int, knots_plan: Plan) -> None:
    """One thing bears its tag through several stages."""
    first = knots_plan.copies[0]
    same = sorted(each.id for each in knots_plan.copies if each.tag == first.tag)
    with reading() as connection:
        by_tag = copies.copies(connection, planned, f" {first.tag.lower()} ")
        assert sorted(row.copy for row in by_tag) == same
        assert [row.copy for row in copies.copies(connection, planned, first.id)] == [first.id]
        assert copies.copies(connection, planned, "nobody") == []


def test_rows_are_of_the_newest_plan_only(planned: int, knots_plan: Plan) -> None:
    """Tests that an old plan's rows do not show up on the board."""
    fewer = knots_plan.model_copy(update={"batches": knots_plan.batches[:1]})
    publish(planned, fewer, "fewer")
    with reading() as connection:
        assert len(batches.batches(connection, planned)) == 1


def test_a_board_is_read_with_one_query(planned: int) -> None:
    """Tests that a longer plan costs no more round trips."""
    assert queries_of(lambda connection: batches.phases(connection, planned)) == 1
    assert queries_of(lambda connection: copies.copies(connection, planned)) == 1
