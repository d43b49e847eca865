"""Whole demonstrations are added, under ids that nobody has, and can be taken back."""

from pathlib import Path

import pytest

from app.exchange.dayfile import load_day
from app.planning.day import Day
from app.planning.reading import read_day
from app.storage.changes.demonstrations import add_demonstrations
from app.storage.changes.undo import make_again, take_back
from app.storage.engine import reading, writing
from app.storage.refusals import NotThere, Refusal
from app.storage.translate import day_of
from seed_demo import skeletons
from tests.live import stored
from tests.storage.rich_day import RICH

SKELETONS = load_day(skeletons()).demonstrations


def _day(production: int) -> Day:
    with reading() as conn:
        return day_of(conn, production)


def _add(production: int, once: str = "add", shown=SKELETONS):
    with writing() as conn:
        return add_demonstrations(
            conn, production, shown, source="from skeletons", by="Ada", once=once
        )


def test_demonstrations_are_added_behind_those_that_are_there(store: Path, knots_day: Day) -> None:
    """Whole, in their order; a request that was sent twice adds them once."""
    production = stored(knots_day, None)
    change = _add(production)
    assert change.words == "Ada added “Yeast dough” and 6 more, from skeletons."
    assert _add(production).n == change.n
    assert _day(production).demonstrations == (*knots_day.demonstrations, *SKELETONS)


def test_what_was_added_can_be_taken_back_and_made_again(store: Path, knots_day: Day) -> None:
    """One step, however many rows it were."""
    production = stored(knots_day, None)
    change = _add(production)
    with writing() as conn:
        take_back(conn, production, change.n, by="Ada", once="back")
    assert _day(production) == knots_day
    with writing() as conn:
        make_again(conn, production, change.n, by="Ada", once="again")
    assert len(_day(production).demonstrations) == 8


def test_an_id_that_is_taken_is_not_given_twice(store: Path) -> None:
    """What is made from a demonstration that came along follows it under its new id."""
    day = read_day(RICH)
    production = stored(day, None)
    _add(production, shown=day.demonstrations)
    now = _day(production).demonstrations
    assert len({each.id for each in now}) == 2 * len(day.demonstrations)
    taken = {
        entry.demonstration
        for each in now[len(day.demonstrations) :]
        for stage in each.stages
        for entry in stage.takes
        if entry.demonstration
    }
    assert taken
    assert taken <= {each.id for each in now[len(day.demonstrations) :]}


def test_a_production_holds_two_hundred(store: Path, knots_day: Day) -> None:
    """More are refused, all of them; so is nothing at all, and a production that is not there."""
    production = stored(knots_day, None)
    with pytest.raises(Refusal, match="201 demonstrations; a production holds 200"):
        _add(production, shown=SKELETONS[:1] * 200)
    with pytest.raises(Refusal, match="no demonstration in it"):
        _add(production, shown=())
    with pytest.raises(NotThere):
        _add(99)
    assert _day(production) == knots_day
