"""Measures as cooks write them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.food.measures import (
    WORDS,
    NotAlike,
    Quantity,
    base,
    celsius,
    converted,
    counted,
    exact,
    fahrenheit,
    kind_of,
    read_number,
    unit_of,
)

UNITS = {word for units in WORDS.values() for words in units.values() for word in words.split()}


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("12", "12"),
        ("1 1/2", "3/2"),
        ("1½", "3/2"),
        ("½", "1/2"),
        (" 2,25 ", "9/4"),
        (".5", "1/2"),
        ("1/3", "1/3"),
        ("0", "0"),
    ],
)
def test_numbers_are_read_as_cooks_write_them(text: str, number: str) -> None:
    assert read_number(text) == Fraction(number)


@pytest.mark.parametrize(
    "text", ["", "x", "1/0", "1 2", "1/2/3", "-1", "9" * 20, "1½½", "1e9", "²"]
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"^.*$"):
        read_number(text)


def test_a_tenth_is_a_tenth() -> None:
    """A float that says 0.1 is read as somebody wrote it, not as the machine keeps it."""
    assert exact(0.1) * 3 == Fraction(3, 10)


@pytest.mark.parametrize(
    ("word", "unit"),
    [("G", "gram"), ("Tbsp.", "tablespoon"), ("fl oz", "fluid_ounce"), ("fl. oz.", "fluid_ounce")],
)
def test_a_unit_is_known_however_it_is_written(word: str, unit: str) -> None:
    assert unit_of(word) == unit


@pytest.mark.parametrize("word", ["", "leaf", "cloves", "bunch", "pinch"])
def test_what_is_no_unit_is_counted(word: str) -> None:
    assert unit_of(word) is None
    assert kind_of(word) == "count"


@pytest.mark.parametrize(
    ("one", "other"), [("cloves", "clove"), ("leaves", "leaf"), ("Bunches", "bunche")]
)
def test_one_and_more_of_a_thing_are_counted_together(one: str, other: str) -> None:
    assert counted(one) == counted(other)


@pytest.mark.parametrize("pair", [("g", "ml"), ("g", ""), ("leaf", "clove"), ("cm", "l")])
def test_what_does_not_compare_is_not_converted(pair: tuple[str, str]) -> None:
    with pytest.raises(NotAlike):
        converted(Quantity(Fraction(1), pair[0]), pair[1])


@given(
    st.fractions(min_value=0, max_value=10**6, max_denominator=1000),
    st.sampled_from(sorted(UNITS)),
    st.sampled_from(sorted(UNITS)),
)
def test_converting_there_and_back_loses_nothing(number: Fraction, unit: str, other: str) -> None:
    """All is reckoned in fractions."""
    there = Quantity(number, unit)
    if kind_of(unit) != kind_of(other):
        return
    assert base(converted(there, other)) == base(there)
    assert converted(converted(there, other), unit) == there


def test_water_freezes_and_boils_on_both_scales() -> None:
    assert (fahrenheit(Fraction(0)), fahrenheit(Fraction(100))) == (32, 212)
    assert (celsius(Fraction(32)), celsius(Fraction(212))) == (0, 100)
