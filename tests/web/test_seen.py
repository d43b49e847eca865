"""A production as the screens see it: what was read is kept, and never kept too long."""

from pathlib import Path

import pytest

from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.runs import move_run
from app.storage.engine import close_store, open_store, writing
from app.storage.refusals import NotThere
from app.web.seen import see
from tests.live import stored


def _move(production: int, starts: str) -> None:
    with writing() as conn:
        began_from = "2027-03-04T14:00"
        run = "knots-take-1"
        move_run(conn, production, run, starts, began_from=began_from, by="Ada", once=starts)


def test_what_did_not_change_is_not_read_again(
    store: Path, knots_day: Day, knots_plan: Plan
) -> None:
    """The same values, not equal ones: parsing and reading rows is what a page would wait for."""
    production = stored(knots_day, knots_plan)
    first, second = see(production), see(production)
    assert first.day is second.day
    assert first.plan is second.plan
    assert not first.is_outdated


def test_a_change_is_seen_at_once(store: Path, knots_day: Day, knots_plan: Plan) -> None:
    """And the plan is known to be of the day before it."""
    production = stored(knots_day, knots_plan)
    see(production)
    _move(production, "2027-03-04T14:20")
    seen = see(production)
    assert seen.day.run("knots-take-1").starts == "2027-03-04T14:20"
    assert seen.planned.run("knots-take-1").starts == "2027-03-04T14:00"
    assert seen.is_outdated


def test_another_store_is_another_world(
    store: Path, tmp_path: Path, knots_day: Day, knots_plan: Plan
) -> None:
    """Its productions bear the same numbers."""
    production = stored(knots_day, knots_plan)
    see(production)
    close_store()
    open_store(tmp_path / "other.sqlite")
    other = stored(knots_day.model_copy(update={"title": "Another"}), None)
    assert other == production
    seen = see(other)
    assert seen.day.title == "Another"
    assert seen.plan is None
    with pytest.raises(NotThere):
        see(other + 1)
