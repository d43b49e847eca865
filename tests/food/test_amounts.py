"""Scaled and added up exactly; what cannot be added stands beside it."""

from fractions import Fraction
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.food.amounts import Sum, added, scaled
from app.food.densities import Weight, grams, known_weights, measured, weight_of
from app.food.measures import Quantity

OWN = [Weight("Coarse salt", Quantity(Fraction(1), "tbsp"), Fraction(15), "our own")]


def of(amount: str, unit: str = "") -> Quantity:
    """Return a quantity."""
    return Quantity(Fraction(amount), unit)


@pytest.mark.parametrize(("per", "all_of_it"), [("copy", "0.3"), ("set", "0.2"), ("batch", "0.4")])
def test_an_amount_is_scaled_as_it_says(
    per: Literal["copy", "set", "batch"], all_of_it: str
) -> None:
    """Three copies in two sets and four batches."""
    assert scaled(0.1, "kg", per, 3, 2, 4) == of(all_of_it, "kg")


def test_to_taste_stays_to_taste() -> None:
    assert scaled(None, "", "copy", 3, 2, 4) is None
    assert added("salt", [None, of("3", "g")]) == Sum((of("3", "g"),), is_to_taste=True)


@given(st.lists(st.fractions(min_value=0, max_value=1000, max_denominator=97), max_size=40))
def test_sums_are_never_rounded(amounts: list[Fraction]) -> None:
    """A third, three times, is one."""
    found = added("flour", [Quantity(each, "g") for each in amounts])
    assert found.quantities == ((Quantity(sum(amounts, Fraction(0)), "g"),) if amounts else ())


def test_a_sum_keeps_the_unit_that_all_of_it_has() -> None:
    assert added("milk", [of("1/3", "cup"), of("2/3", "cup")]).quantities == (of("1", "cup"),)
    assert added("x", [of("1", "kg"), of("1", "g")]).quantities == (of("1001", "g"),)


def test_cups_and_grams_are_added_where_the_table_knows_the_cup() -> None:
    """A cup of bread flour is 137 g (USDA SR28)."""
    assert added("bread flour", [of("1", "cup"), of("63", "g")]).quantities == (of("200", "g"),)


def test_cups_and_grams_stand_apart_where_nobody_knows_the_cup() -> None:
    found = added("damsons", [of("1", "cup"), of("63", "g")])
    assert set(found.quantities) == {of("63", "g"), of("1", "cup")}


def test_the_users_own_row_goes_before_the_table() -> None:
    own = [*OWN, Weight("bread flour", of("1", "cup"), Fraction(130), "our own")]
    assert grams("bread flour", of("2", "cups"), own) == of("260", "g")
    assert grams("coarse salt", of("2", "tbsp"), own) == of("30", "g")
    assert grams("coarse salt", of("2", "tbsp")) is None


def test_a_weight_is_measured_back() -> None:
    assert measured("bread flour", of("274", "g"), "cup") == of("2", "cup")
    assert measured("damsons", of("274", "g"), "cup") is None


@pytest.mark.parametrize(
    ("name", "unit", "weighs"),
    [
        ("eggs", "", 50),
        ("Soft butter", "stick", 113),
        ("garlic", "cloves", 3),
        ("tomatoes", "", 123),
        ("potatoes", "", 213),
        ("sugar", "tsp", Fraction("4.2")),
    ],
)
def test_pieces_and_spoons_are_found_by_a_kitchens_words(
    name: str, unit: str, weighs: Fraction
) -> None:
    """Source: USDA SR28."""
    assert grams(name, of("1", unit)) == Quantity(Fraction(weighs), "g")


@pytest.mark.parametrize("name", ["coarse salt", "rice flour", "almond butter", "", "x" * 300])
def test_a_name_that_only_sounds_like_one_is_not_known(name: str) -> None:
    """A wrong weight would be worse than none."""
    assert known_weights(name) == ()
    assert weight_of(name, "cup") is None
