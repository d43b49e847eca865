"""Decisions by name, and the limits of the house, in the store."""

import pytest

from app.storage.changes.decisions import decide, take_back_decision
from app.storage.changes.goods import choose
from app.storage.engine import reading, writing
from app.storage.queries import safety
from app.storage.queries.decisions import decisions
from app.storage.queries.history import history
from app.storage.queries.productions import day
from app.storage.queries.safety import house
from app.storage.refusals import NotThere, Refusal
from tests.storage.opened import knots, planned, store

__all__ = ["knots", "planned", "store"]
WORDS = "knots-take-1, reveal: baked. Teo avoids nuts: almonds from marzipan."


def decided(production: int, once: str = "d1", key: str = "k1") -> None:
    """Have Ada decide."""
    with writing() as conn:
        decide(conn, production, key, WORDS, "Teo only looks.", by="Ada", once=once)


def test_who_decided_what_is_kept_with_the_record(planned: int) -> None:
    decided(planned)
    with reading() as conn:
        (row,) = decisions(conn, planned)
        change = history(conn, planned)[0]
    assert (row.key, row.by, row.decided, row.words) == ("k1", "Ada", "Teo only looks.", WORDS)
    assert row.at.endswith("Z")
    assert change.words == f"Ada decided: Teo only looks. ({WORDS})"


def test_no_figure_of_the_day_changes(planned: int) -> None:
    with reading() as conn:
        before = day(conn, planned)
    decided(planned)
    with reading() as conn:
        assert day(conn, planned) == before


def test_the_same_request_twice_is_one_decision(planned: int) -> None:
    decided(planned)
    decided(planned)
    with reading() as conn:
        assert len(decisions(conn, planned)) == 1


def test_a_second_decision_names_the_first(planned: int) -> None:
    decided(planned)
    with pytest.raises(Refusal, match="Ada has decided on this already: Teo only looks"):
        decided(planned, once="d2")


def test_a_decision_can_be_taken_back_and_the_record_knows(planned: int) -> None:
    decided(planned)
    with writing() as conn:
        take_back_decision(conn, planned, "k1", by="Ben", once="t1")
    with reading() as conn:
        assert decisions(conn, planned) == []
        assert history(conn, planned)[0].words.startswith("Ben took a decision of Ada back")
    with pytest.raises(NotThere), writing() as conn:
        take_back_decision(conn, planned, "k1", by="Ben", once="t2")


def test_decisions_are_a_production_s_own(planned: int) -> None:
    decided(planned)
    with reading() as conn:
        assert decisions(conn, planned + 1) == []


def test_a_house_works_by_the_food_code_until_it_says_otherwise(planned: int) -> None:
    with reading() as conn:
        assert (house(conn).limits.law, house(conn).limits.cold_c) == ("us", 5)


def test_a_house_keeps_its_own_copy(planned: int) -> None:
    chosen = {
        safety.LAW: "uk",
        safety.OWN["cold_c"]: "5",
        safety.OWN["out_cold_min"]: safety.SET_ASIDE,
        safety.ALLERGENS: "eu",
        safety.PART_COOKING: "yes",
        safety.ROOM: "24.5",
    }
    with writing() as conn:
        choose(conn, chosen, by="Ada", once="c1")
    with reading() as conn:
        told = house(conn)
    assert (told.limits.law, told.limits.cold_c, told.limits.out_cold_min) == ("uk", 5, None)
    assert (told.limits.hot_c, told.allergen_law, told.room_c) == (63, "eu", 24.5)
    assert told.has_part_cooking
