"""What the house buys is stored once, recorded, and read in as many queries whatever it holds."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy import update

from app.food.larder import FIELDS
from app.storage.changes.goods import choose, describe_good, remove_good, undo_of_house
from app.storage.engine import reading, writing
from app.storage.queries.goods import (
    all_good_texts,
    choices,
    good_texts,
    house_history,
    larder,
    newest_house_change,
)
from app.storage.refusals import Refusal
from app.storage.tables.goods import HOUSE_CHANGES
from tests.storage.counting import queries_of

NONE = dict.fromkeys(FIELDS, "")


def describe(name: str, once: str, began: dict[str, str] | None = None, **texts: str) -> None:
    """Say something of a good, as one transaction."""
    with writing() as conn:
        said = NONE | (began or {}) | texts
        describe_good(conn, name, said, began_from=began, by="Ada", once=once)


def test_everybody_who_puts_something_in_is_kept(store: Path) -> None:
    """Twenty at once, each another good, none lost and none numbered twice."""
    with ThreadPoolExecutor(8) as several:
        list(several.map(lambda n: describe(f"good {n}", f"once-{n}", price=""), range(20)))
    with reading() as conn:
        assert len(all_good_texts(conn)) == 20
        assert [each.n for each in house_history(conn)] == list(range(20, 0, -1))
        assert newest_house_change(conn) == 20


def test_a_name_is_one_whatever_its_capitals(store: Path) -> None:
    describe("Egg", "a", pack_amount="12")
    describe("egg", "b", NONE | {"pack_amount": "12"}, price="3")
    with reading() as conn:
        (only,) = all_good_texts(conn)
    assert (only["name"], only["pack_amount"], only["price"]) == ("egg", "12", "3")


def test_reading_the_larder_takes_as_many_queries_for_many_as_for_few(store: Path) -> None:
    describe("egg", "a", pack_amount="12")
    few = queries_of(larder)
    for n in range(30):
        describe(f"good {n}", f"more-{n}", pack_amount="1")
    assert queries_of(larder) == few


def test_a_key_of_another_kind_of_change_is_refused(store: Path) -> None:
    describe("egg", "a")
    with writing() as conn, pytest.raises(Refusal):
        remove_good(conn, "egg", by="Ada", once="a")


def test_choices_are_taken_back_to_what_they_were(store: Path) -> None:
    with writing() as conn:
        choose(conn, {"units": "us"}, by="Ada", once="a")
    with writing() as conn:
        second = choose(conn, {"units": "metric", "currency": "€"}, by="Ben", once="b")
    with writing() as conn:
        undo_of_house(conn, second.n, by="Ada", once="c")
    with reading() as conn:
        assert choices(conn) == {"units": "us"}


def test_an_undo_can_be_taken_back_as_well(store: Path) -> None:
    describe("egg", "a", price="", pack_amount="6")
    with writing() as conn:
        undone = undo_of_house(conn, 1, by="Ben", once="b")
    with reading() as conn:
        assert good_texts(conn, "egg") is None
    with writing() as conn:
        undo_of_house(conn, undone.n, by="Ben", once="c")
    with reading() as conn:
        assert (good_texts(conn, "egg") or {})["pack_amount"] == "6"


def test_what_was_recorded_before_goods_had_further_packs_is_taken_back(store: Path) -> None:
    """The record of an older store knows one pack only."""
    describe("egg", "a", pack_amount="12")
    with writing() as conn:
        remove_good(conn, "egg", by="Ada", once="b")
        old = {"goods/egg": {"name": "egg"} | {name: "" for name in NONE if "_2" not in name}}
        older = update(HOUSE_CHANGES).where(HOUSE_CHANGES.c.n == 2)
        conn.execute(older.values(before=old))
    with writing() as conn:
        undo_of_house(conn, 2, by="Ada", once="c")
    with reading() as conn:
        assert (good_texts(conn, "egg") or {})["pack_2_amount"] == ""
