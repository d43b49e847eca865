"""Two productions in one kitchen: what one changes, the other is told."""

import pytest

from app.storage import news
from app.storage.changes.fields import Filled, fill_in
from app.storage.changes.productions import copy_production
from app.storage.engine import reading, writing
from app.storage.parts import Place
from app.storage.queries.kitchens import changed_elsewhere, kitchen_mark, sharing_kitchen
from app.storage.queries.sheets import sheet
from app.storage.refusals import Conflict


@pytest.fixture
def later(knots: int) -> int:
    """Return a production in the kitchen of the knots."""
    with writing() as connection:
        return copy_production(connection, knots, "Later", by="Bo", once="later")


def fill(production: int, table: str, field: str, value: int, began: int, by: str) -> None:
    """Fill in a field of the first row of a table."""
    with reading() as connection:
        row = sheet(connection, production).all(table)[0]
    filled = Filled(Place(table, row["id"]), field, {field: value}, None, {field: began})
    with writing() as connection:
        told = {"words": "filled it in", "by": by, "once": f"{production}-{by}-{value}"}
        fill_in(connection, production, filled, **told)


def marks(*productions: int) -> list[str]:
    """Return the marks of their kitchens."""
    with reading() as connection:
        return [kitchen_mark(connection, each) for each in productions]


def test_what_one_changes_in_the_kitchen_the_other_hears(knots: int, later: int) -> None:
    """Tests a change of the kitchen, and one of a stage, which is of one production alone."""
    heard: list[tuple[int, str]] = []
    stop = news.listen(lambda told: heard.append((told.production, told.kind)))
    before = marks(knots, later)
    with reading() as connection:
        assert sharing_kitchen(connection, knots) == {later: "Later"}
        stage = sheet(connection, knots).all("stages")[0]
        item = sheet(connection, knots).all("equipment")[0]
    fill(knots, "stages", "cost", 3, stage["cost"], "Ada")
    assert (heard, marks(knots, later)) == ([(knots, "day")], before)
    fill(knots, "equipment", "units", 7, item["units"], "Ada")
    assert heard[1:] == [(knots, "day"), (later, "kitchen")]
    with reading() as connection:
        assert changed_elsewhere(connection, later) == "Ada filled it in, in “Harvest hour”."
        assert changed_elsewhere(connection, knots) == ""
    now = marks(knots, later)
    assert now[0] == now[1] != before[0] == before[1]
    stop()


def test_who_changed_a_field_of_the_kitchen_elsewhere_is_named(knots: int, later: int) -> None:
    """Tests the same field from two productions: the second one is asked, and told by whom."""
    with reading() as connection:
        began = sheet(connection, knots).all("equipment")[0]["units"]
    fill(later, "equipment", "units", 5, began, "Bo")
    with pytest.raises(Conflict, match="Bo changed this while you were typing"):
        fill(knots, "equipment", "units", 6, began, "Ada")
