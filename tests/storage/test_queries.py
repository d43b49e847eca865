"""The list of productions."""

from app.planning.day import Day
from app.storage.changes.productions import add_production
from app.storage.engine import reading, writing
from app.storage.queries.crew import crew_names
from app.storage.queries.productions import (
    all_productions,
    newest_change,
    production,
    timezone_of,
)
from tests.storage.counting import queries_of
from tests.storage.rich_day import RICH


def test_the_list_says_what_a_production_holds(planned: int) -> None:
    """Tests each figure of a line."""
    with reading() as connection:
        row = production(connection, planned)
        assert all_productions(connection) == [row]
        assert newest_change(connection, planned) == 2
        assert timezone_of(connection, planned) == row.timezone
    assert (row.title, row.kind, row.timezone) == ("Harvest hour", "broadcast", "Europe/Lisbon")
    assert (row.demonstrations, row.runs, row.plan) == (1, 2, 1)
    assert (row.first_run, row.last_run) == ("2027-03-04T14:00", "2027-03-04T15:30")


def test_the_list_takes_one_query_however_long_it_is(planned: int) -> None:
    """Tests that ten productions cost no more round trips than one."""
    few = queries_of(all_productions)
    for at in range(9):
        with writing() as connection:
            add_production(connection, Day.model_validate(RICH), by="Ada", once=f"rich-{at}")
    assert queries_of(all_productions) == few == 1


def test_everybody_who_works_in_a_kitchen_is_told_once(planned: int) -> None:
    """Tests the list that a phone picks its person from."""
    with writing() as connection:
        for at in range(2):
            add_production(connection, Day.model_validate(RICH), by="Ada", once=f"rich-{at}")
    with reading() as connection:
        assert crew_names(connection) == ["Ada", "cook-1", "cook-2"]
