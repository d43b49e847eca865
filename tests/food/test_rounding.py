"""What is shown is rounded as a kitchen weighs; nothing becomes nothing."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.food.measures import Quantity, base
from app.food.rounding import System, decimal, nearest, number, shown, text, us_volume


@pytest.mark.parametrize(
    ("amount", "unit", "system", "said"),
    [
        ("500", "g", "as written", "500 g"),
        ("1485", "g", "as written", "1.485 kg"),
        ("0.5", "kg", "as written", "500 g"),
        ("1999.9", "g", "as written", "2 kg"),
        ("7.333", "g", "as written", "7.3 g"),
        ("280", "ml", "as written", "280 ml"),
        ("2.8", "l", "as written", "2.8 l"),
        ("3/2", "cups", "as written", "1½ cups"),
        ("1/3", "cup", "as written", "⅓ cup"),
        ("5", "tsp", "as written", "1 tbsp 2 tsp"),
        ("12", "oz", "as written", "12 oz"),
        ("20", "oz", "as written", "1 lb 4 oz"),
        ("32", "oz", "as written", "2 lb"),
        ("2", "metric tbsp", "as written", "2 metric tbsp"),
        ("3", "cloves", "as written", "3 cloves"),
        ("2.5", "", "us", "2½"),
        ("1", "lb", "metric", "454 g"),
        ("1", "cup", "metric", "235 ml"),
        ("500", "g", "us", "1 lb 1¾ oz"),
        ("1", "l", "us", "4¼ cups"),
        ("2", "m", "us", "2 m"),
        ("0.4", "g", "us", "⅛ oz"),
    ],
)
def test_a_quantity_reads_as_a_kitchen_measures(
    amount: str, unit: str, system: System, said: str
) -> None:
    assert text(Quantity(Fraction(amount), unit), system) == said


@given(st.fractions(min_value=Fraction(1, 2), max_value=10**5), st.sampled_from(["g", "ml"]))
def test_metric_rounding_stays_within_a_twentieth(amount: Fraction, unit: str) -> None:
    """Of small amounts; of what is weighed by the hundred grams within one in a hundred."""
    said, shown_unit = shown(Quantity(amount, unit))
    read = base(Quantity(Fraction(said), shown_unit))
    assert abs(read - amount) <= amount * (Fraction(1, 100) if amount >= 100 else Fraction(1, 10))


@given(st.fractions(min_value=Fraction(1, 1000), max_value=10**6))
def test_something_never_reads_as_nothing(amount: Fraction) -> None:
    for unit in ("g", "ml", "oz", "cup", "tsp", "clove"):
        for system in ("as written", "metric", "us"):
            said, _ = shown(Quantity(amount, unit), system)
            assert said not in {"0", "", "0 tsp"}


def test_nothing_reads_as_nothing() -> None:
    assert text(Quantity(Fraction(0), "g")) == "0 g"
    assert us_volume(Quantity(Fraction(0), "cup")) == "0 tsp"


def test_counts_keep_thirds_and_quarters() -> None:
    assert [number(Fraction(each)) for each in ("1/3", "3/4", "0.35", "7")] == [
        "⅓",
        "¾",
        "0.35",
        "7",
    ]


def test_numbers_have_no_stray_digits() -> None:
    assert decimal(nearest(Fraction("0.3000001"), Fraction("0.1"))) == "0.3"
