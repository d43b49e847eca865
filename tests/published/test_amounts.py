"""Measures and amounts against what is published; each row has its source beside it."""

from fractions import Fraction

import pint
import pytest

from app.food.amounts import factor
from app.food.densities import SOURCE, grams, table
from app.food.doughs import percents, water_degrees, weights
from app.food.measures import Quantity, base, converted
from app.food.packs import Pack, packs_for
from app.food.pans import fitting, pan
from app.food.rounding import text, us_volume
from app.food.yields import dough_for, known_yield, purchased


def of(amount: str, unit: str = "") -> Quantity:
    """Return a quantity written as in a book."""
    return Quantity(Fraction(amount), unit)


@pytest.mark.parametrize(
    ("unit", "ml"),
    [
        ("cup", "236.5882365"),
        ("tbsp", "14.78676478125"),
        ("tsp", "4.92892159375"),
        ("fl oz", "29.5735295625"),
        ("gal", "3785.411784"),
    ],
)
def test_measures_are_exactly_what_the_definitions_make_them(unit: str, ml: str) -> None:
    """Source: NIST, gallon 231 cubic inches, inch 2.54 cm."""
    assert base(of("1", unit)) == Fraction(ml)


@pytest.mark.parametrize(
    ("unit", "theirs", "in_base"),
    [
        ("lb", "pound", "gram"),
        ("oz", "ounce", "gram"),
        ("kg", "kilogram", "gram"),
        ("cup", "cup", "milliliter"),
        ("pint", "pint", "milliliter"),
        ("qt", "quart", "milliliter"),
        ("gal", "gallon", "milliliter"),
        ("tbsp", "tablespoon", "milliliter"),
        ("tsp", "teaspoon", "milliliter"),
        ("fl oz", "fluid_ounce", "milliliter"),
        ("imperial pint", "imperial_pint", "milliliter"),
        ("imperial fl oz", "imperial_fluid_ounce", "milliliter"),
        ("dl", "deciliter", "milliliter"),
        ("in", "inch", "meter"),
    ],
)
def test_our_units_are_those_of_pint(unit: str, theirs: str, in_base: str) -> None:
    """Source: the table of units that pint brings along, of which ours uses nothing."""
    reference = pint.UnitRegistry(cache_folder=None).Quantity(1.0, theirs).to(in_base).magnitude
    assert float(base(of("1", unit))) == pytest.approx(reference, rel=1e-12)


@pytest.mark.parametrize(
    ("food", "amount", "unit", "weighs"),
    [
        ("all-purpose flour", "1", "cup", 125),
        ("bread flour", "1", "cup", 137),
        ("sugar", "1", "cup", 200),
        ("brown sugar", "1", "cup", 220),
        ("butter", "1", "cup", 227),
        ("milk", "1", "cup", 244),
        ("honey", "1", "cup", 339),
        ("salt", "1", "tsp", 6),
        ("egg", "1", "large", 50),
        ("egg", "1", "", 50),
    ],
)
def test_a_cup_weighs_what_the_table_says(food: str, amount: str, unit: str, weighs: int) -> None:
    """Source: USDA National Nutrient Database SR28, household measures."""
    assert grams(food, of(amount, unit)) == Quantity(Fraction(weighs), "g")


def test_the_whole_table_is_there() -> None:
    """Source: USDA National Nutrient Database SR28; 247 rows."""
    assert SOURCE == "USDA SR28"
    assert len(table()) == 247
    assert all(row.grams > 0 and row.measured.number > 0 for row in table())


@pytest.mark.parametrize(("cups", "weighs"), [("1.5", 200), ("8.25", Fraction("1133.98"))])
def test_bread_flour_by_the_cup_is_near_what_bakers_say(cups: str, weighs: Fraction) -> None:
    """1½ cups are about 200 g, 8¼ cups 2 lb 8 oz: *common practice*, within 4 % of the table."""
    found = grams("bread flour", of(cups, "cups"))
    assert found is not None
    assert abs(found.number / weighs - 1) < Fraction(4, 100)


def test_a_dough_by_bakers_percentage() -> None:
    """Source: published worked example, 73 pieces of 390 g at 170 %."""
    formula = {"flour": 100, "water": 67, "salt": 2, "yeast": 1}
    told = {part: Fraction(percent) for part, percent in formula.items()}
    found = weights(Fraction(73 * 390), told)
    rounded = {part: round(float(weight), 2) for part, weight in found.items()}
    assert rounded == {"flour": 16747.06, "water": 11220.53, "salt": 334.94, "yeast": 167.47}
    assert percents(found, ["flour"]) == told


def test_flour_is_the_dough_divided_by_its_percentage() -> None:
    """Source: published worked example, corrected: the manual multiplies by 1.692."""
    found = weights(Fraction(300), {"flour": Fraction(100), "rest": Fraction("69.2")})
    assert round(float(found["flour"]), 3) == 177.305


def test_a_recipe_for_a_hundred_serves_three_hundred_and_forty_eight() -> None:
    """Source: TM 10-412 (US Armed Forces recipe service), conversion of a recipe."""
    assert factor(100, 348) == Fraction("3.48")
    more = of("1.25", "lb") * factor(100, 348)
    assert more == of("4.35", "lb")
    assert text(more) == "4 lb 5½ oz"


def test_gallons_break_down_to_quarter_teaspoons() -> None:
    """Source: TM 10-412, 6 gal × 3.33."""
    more = of("6", "gal") * Fraction("3.33")
    assert us_volume(more, "tsp") == "19 gal 3 qt 1 pt 1 c 10 tbsp 2¾ tsp"


def test_watermelon_is_bought_with_its_rind() -> None:
    """Source: USDA Food Buying Guide, 0.61; bought by the half pound."""
    factor_told = known_yield("watermelon")
    assert factor_told is not None
    assert factor_told.source == "USDA Food Buying Guide"
    needed = purchased(Fraction(2), factor_told.percent)
    assert round(float(needed), 2) == 3.28
    (packs,) = packs_for(Quantity(needed, "lb"), [Pack(of("0.5", "lb"))])
    assert packs * Fraction("0.5") == Fraction("3.5")


def test_striploin_is_bought_untrimmed() -> None:
    """Source: published worked example, 85 portions of 170 g at 88.5 %."""
    needed = purchased(Fraction(85 * 170), Fraction("88.5"))
    assert round(float(converted(Quantity(needed, "g"), "kg").number), 2) == 16.33


def test_losses_in_the_oven_compound() -> None:
    """Arithmetic; the source adds 2 % and 11 % to 13 %, which is another number."""
    one_after_the_other = dough_for(Fraction(500), [Fraction(2), Fraction(11)])
    assert round(float(one_after_the_other), 2) == 573.26
    assert round(float(dough_for(Fraction(500), [Fraction(13)])), 2) == 574.71


def test_water_makes_up_for_flour_room_and_mixer() -> None:
    """Source: trade press, Pizza Today, June 2018; in °F."""
    told = [Fraction(each) for each in (80, 65, 75, 35)]
    assert water_degrees(*told) == 65


def test_sheet_pans_and_gastronorm_do_not_mix() -> None:
    """Source: EN 631 (secondary), US army recipe cards; 18 × 13 in, 26 × 18 in, 530 × 325 mm."""
    inch = Fraction("25.4")
    half, full, container = pan("half sheet pan"), pan("full sheet pan"), pan("GN 1/1")
    assert (half.long_mm, half.wide_mm) == (18 * inch, 13 * inch)
    assert (full.long_mm, full.wide_mm) == (26 * inch, 18 * inch)
    assert (container.long_mm, container.wide_mm) == (530, 325)
    assert fitting(full.long_mm, full.wide_mm, container.long_mm, container.wide_mm) == 0
    assert fitting(half.long_mm, half.wide_mm, full.long_mm, full.wide_mm) == 2
