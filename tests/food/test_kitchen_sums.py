"""Yields, doughs, water, ice and pans beside what is published."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.food.densities import table
from app.food.doughs import friction_degrees, ice, percents, water_degrees, weights
from app.food.measures import NotAlike, Quantity
from app.food.packs import Pack, packs_for
from app.food.pans import fitting, levels, pan, pans
from app.food.tables import rows
from app.food.yields import edible, known_yield, purchased

PARTS = st.dictionaries(
    st.text(max_size=5), st.fractions(min_value=Fraction(1, 10), max_value=300), min_size=1
)


@given(PARTS, st.fractions(min_value=1, max_value=10**6))
def test_a_dough_weighs_all_of_its_parts(parts: dict[str, Fraction], total: Fraction) -> None:
    assert sum(weights(total, parts).values()) == total


def test_two_flours_are_a_hundred_together() -> None:
    told = {"wheat": Fraction(750), "rye": Fraction(250), "water": Fraction(680)}
    assert percents(told, ["wheat", "rye"]) == {"wheat": 75, "rye": 25, "water": 68}


def test_without_flour_there_is_no_percentage() -> None:
    with pytest.raises(ValueError, match="flour"):
        percents({"water": Fraction(1)}, [])
    with pytest.raises(ValueError, match="weighs nothing"):
        weights(Fraction(1), {})


def test_a_mixer_is_measured_by_a_dough_that_came_out_of_it() -> None:
    """What it warmed this time is what the next water makes up for."""
    friction = friction_degrees(Fraction(27), Fraction(20), Fraction(22), Fraction(15))
    assert friction == 24
    assert water_degrees(Fraction(27), Fraction(20), Fraction(22), friction) == 15


def test_a_starter_is_one_temperature_more() -> None:
    assert water_degrees(Fraction(25), *map(Fraction, (20, 22, 20, 24))) == 14


def test_ice_melts_in_the_water_that_it_cools() -> None:
    """1 kg of water from 20 °C to 10 °C: 100 g of ice, which melts and warms to 10 °C.

    Heat balance, by hand: 900 g × 10 K = 9 000; 100 g × (80 + 10) K = 9 000.
    """
    assert ice(Fraction(1000), Fraction(20), Fraction(10)) == 100
    assert ice(Fraction(1000), Fraction(20), Fraction(25)) == 0
    with pytest.raises(ValueError, match="chill the flour"):
        ice(Fraction(1), Fraction(20), Fraction(-200))


@given(
    st.fractions(min_value=0, max_value=10**6),
    st.fractions(min_value=Fraction(1, 10), max_value=100),
)
def test_what_is_bought_leaves_what_is_needed(needed: Fraction, percent: Fraction) -> None:
    assert edible(purchased(needed, percent), percent) == needed


@pytest.mark.parametrize("percent", [0, -1, 101])
def test_a_yield_lies_above_nothing_and_at_most_at_all(percent: int) -> None:
    with pytest.raises(ValueError, match="no yield"):
        purchased(Fraction(1), Fraction(percent))


def test_a_yield_says_where_it_is_from() -> None:
    """Source: USDA SR28, refuse of raw potatoes 25 %, parings and trimmings."""
    told = known_yield("potatoes")
    assert told is not None
    assert told.percent == 75
    assert told.source == "USDA SR28 11352, refuse"
    assert "parings" in told.trimmed


@pytest.mark.parametrize("name", ["flour", "ground almonds", "walnuts", "unheard of"])
def test_what_has_no_known_yield_has_none(name: str) -> None:
    """Nobody buys ground almonds in their shells."""
    assert known_yield(name) is None


def test_every_name_leads_to_a_row_of_the_table() -> None:
    there = {(row.ndb_no, row.measure) for row in table()}
    assert [each for each in rows("names") if (each["ndb_no"], each["measure"]) not in there] == []


def test_every_pan_says_where_its_size_was_read() -> None:
    assert all(each.source and each.long_mm >= each.wide_mm > 0 for each in pans())
    with pytest.raises(KeyError):
        pan("no such pan")


@pytest.mark.parametrize(
    ("small", "large", "many"),
    [("GN 1/2", "GN 1/1", 2), ("GN 1/3", "GN 1/1", 3), ("GN 1/1", "GN 2/1", 2)],
)
def test_fractions_of_a_container_fill_it(small: str, large: str, many: int) -> None:
    """Source: EN 631-1, the modular system (from memory)."""
    one, other = pan(small), pan(large)
    assert fitting(one.long_mm, one.wide_mm, other.long_mm, other.wide_mm) == many


def test_pans_stand_both_ways_where_that_holds_more() -> None:
    """3 × 2 on 5 × 6: three in a block and, in the strip beside it, two the other way."""
    assert fitting(*map(Fraction, (3, 2, 5, 6))) == 5
    assert levels(Fraction(600), Fraction(65), Fraction(35)) == 6


def test_packs_are_whole() -> None:
    kilo = Quantity(Fraction(1), "kg")
    packs = [Pack(kilo)]
    amounts = [Quantity(Fraction(each), "g") for each in (0, 1, 1000, 1001)]
    assert [packs_for(each, packs) for each in amounts] == [(0,), (1,), (1,), (2,)]
    with pytest.raises(NotAlike):
        packs_for(kilo, [Pack(Quantity(Fraction(1), "l"))])
    with pytest.raises(ValueError, match="holds something"):
        packs_for(kilo, [Pack(Quantity(Fraction(0), "kg"))])
