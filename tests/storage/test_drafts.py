"""A draft is kept until somebody accepts or discards it, and nothing of it is recorded."""

from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.drafts import begin_draft, drop_draft, end_draft
from app.storage.engine import reading, writing
from app.storage.queries.drafts import KeptDraft, draft_of, productions_with_drafts
from app.storage.queries.productions import newest_change


def kept(production: int) -> KeptDraft | None:
    """Return the draft that is stored."""
    with reading() as connection:
        return draft_of(connection, production)


def test_a_draft_comes_back_with_its_day_and_its_plan(
    knots: int, knots_day: Day, knots_plan: Plan
) -> None:
    """First what was asked for, then what came of it."""
    with writing() as connection:
        key = begin_draft(connection, knots, knots_day, by="Ada")
    asked = kept(knots)
    assert asked is not None
    assert (asked.day, asked.by, asked.plan, asked.failed) == (knots_day, "Ada", None, None)
    with writing() as connection:
        end_draft(connection, key, knots_plan, None)
    ended = kept(knots)
    assert ended is not None
    assert (ended.day, ended.plan) == (knots_day, knots_plan)


def test_a_new_draft_takes_the_place_of_the_one_before(
    knots: int, knots_day: Day, knots_plan: Plan
) -> None:
    """What still comes of the older one is nobody's any more."""
    with writing() as connection:
        older = begin_draft(connection, knots, knots_day, by="Ada")
        newer = begin_draft(connection, knots, knots_day, by="Bo")
    with writing() as connection:
        end_draft(connection, older, knots_plan, None)
    found = kept(knots)
    assert found is not None
    assert (found.key, found.by, found.plan) == (newer, "Bo", None)


def test_why_there_is_none_is_kept_and_a_dropped_draft_is_gone(knots: int, knots_day: Day) -> None:
    """Also for a planner that ends after it was dropped; the record knows nothing of drafts."""
    with reading() as connection:
        before = newest_change(connection, knots)
    with writing() as connection:
        key = begin_draft(connection, knots, knots_day, by="Ada")
        end_draft(connection, key, None, "The planner failed.")
    found = kept(knots)
    assert found is not None
    assert found.failed == "The planner failed."
    with writing() as connection:
        drop_draft(connection, knots)
        end_draft(connection, key, None, "The planner failed.")
    assert kept(knots) is None
    with reading() as connection:
        assert newest_change(connection, knots) == before


def test_drafts_are_found_by_who_asked(knots: int, knots_day: Day) -> None:
    """The first start looks for its own."""
    with writing() as connection:
        begin_draft(connection, knots, knots_day, by="Ada")
    with reading() as connection:
        assert productions_with_drafts(connection) == [knots]
        assert productions_with_drafts(connection, "Ada") == [knots]
        assert productions_with_drafts(connection, "Stagelarder") == []
