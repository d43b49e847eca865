"""The table of limits against the texts that it was read from.

Sources: FDA Food Code 3-401.11, 3-401.14, 3-403.11, 3-501.14, 3-501.16, 3-501.17, 3-501.19 (read in
state texts that keep its numbering), SI 2013/2996 and sister texts, a USDA statement; the ACMSF
report on the safe cooking of burgers (March 2007), the Food Standards Agency's advice on cooking.
"""

import pytest

from app.food.limits import LAWS, NAMES, ROUNDING_C, law, limits, section


@pytest.mark.parametrize(
    ("limit", "wanted", "where"),
    [
        ("cool_from_c", (135 - 32) / 1.8, "3-501.14"),
        ("cool_middle_c", (70 - 32) / 1.8, "3-501.14"),
        ("cool_middle_min", 2 * 60, "3-501.14"),
        ("cold_c", (41 - 32) / 1.8, "3-501.16"),
        ("cool_whole_min", 6 * 60, "3-501.14"),
        ("cool_ambient_min", 4 * 60, "3-501.14"),
        ("hot_c", (135 - 32) / 1.8, "3-501.16"),
        ("date_mark_days", 7, "3-501.17"),
        ("out_hot_min", 4 * 60, "3-501.19"),
        ("out_cold_min", 4 * 60, "3-501.19"),
        ("out_long_min", 6 * 60, "3-501.19"),
        ("out_long_warmest_c", (70 - 32) / 1.8, "3-501.19"),
        ("cook_whole_c", (145 - 32) / 1.8, "3-401.11"),
        ("cook_ground_c", (155 - 32) / 1.8, "3-401.11"),
        ("cook_poultry_c", (165 - 32) / 1.8, "3-401.11"),
        ("first_heat_min", 60, "3-401.14"),
        ("reheat_c", (165 - 32) / 1.8, "3-403.11"),
        ("reheat_min", 2 * 60, "3-403.11"),
    ],
)
def test_the_food_code_says_so(limit: str, wanted: float, where: str) -> None:
    """Its Celsius figures are rounded to whole degrees."""
    said = limits("us").get(limit)
    assert said is not None
    assert abs(said - wanted) < 0.5
    assert section(limits("us"), limit) == where


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        ("cook_whole_c", "145 °F for 15 s"),
        ("cook_ground_c", "155 °F for 17 s"),
        ("cook_poultry_c", "165 °F, instantly"),
        ("reheat_c", "165 °F for 15 s"),
    ],
)
def test_the_food_code_says_how_long_a_core_is_held(limit: str, words: str) -> None:
    """3-401.11 and 3-403.11: a figure without its seconds is half of the rule."""
    (row,) = [each for each in law("us").rows if each.limit == limit]
    assert words in row.words


@pytest.mark.parametrize("limit", ["out_hot_min", "out_cold_min"])
def test_the_uk_gives_its_hours_once(limit: str) -> None:
    """SI 2013/2996, Schedule 4: a single period, which is not begun again."""
    (row,) = [each for each in law("uk").rows if each.limit == limit]
    assert ", once," in row.words


@pytest.mark.parametrize(
    ("limit", "wanted"), [("cold_c", 8), ("out_cold_min", 240), ("hot_c", 63), ("out_hot_min", 120)]
)
def test_the_uk_says_so(limit: str, wanted: float) -> None:
    """SI 2013/2996: at most 8 °C, once under 4 h above; at least 63 °C, once under 2 h below."""
    assert limits("uk").get(limit) == wanted


@pytest.mark.parametrize("limit", ["cook_whole_c", "cook_ground_c", "cook_poultry_c", "reheat_c"])
def test_the_uk_cooks_by_its_guidance(limit: str) -> None:
    """70 °C for 2 minutes or its equals; the law itself gives no figure, so the row names its own.

    Sources: ACMSF, Report on the safe cooking of burgers, March 2007 (minced meat, read in its
    text); Food Standards Agency, Cooking your food (the rest, read in secondary texts).
    """
    (row,) = [each for each in law("uk").rows if each.limit == limit]
    assert (row.value, row.unit) == (70, "°C")
    assert "held for 2 min" in row.words
    assert row.edition != law("uk").edition
    assert row.section


@pytest.mark.parametrize(("celsius", "minutes"), [(65, 13.6), (75, 18 / 60)])
def test_the_equals_of_two_minutes_at_70_are_those_of_the_report(
    celsius: float, minutes: float
) -> None:
    """ACMSF, March 2007: a z-value of 6 °C, *65 °C for 13.6 minutes or 75 °C for 18 seconds*."""
    z_c = 6
    assert 2 * 10 ** ((70 - celsius) / z_c) == pytest.approx(minutes, rel=0.03)
    (row,) = [each for each in law("uk").rows if each.limit == "cook_ground_c"]
    said = f"{celsius} °C for {f'{minutes:g} min' if minutes >= 1 else f'{minutes * 60:g} s'}"
    assert said in row.words


def test_a_home_has_two_hours_and_one_in_the_heat() -> None:
    """USDA statement: 2 h out of the chill, 1 h above 90 °F."""
    home = limits("home")
    assert home.out_cold_min == 120
    assert home.out_hot_room_min == 60
    assert home.hot_room_c == pytest.approx((90 - 32) / 1.8, abs=0.05)


@pytest.mark.parametrize("id", LAWS)
def test_every_row_is_a_limit_that_something_reads(id: str) -> None:
    assert {row.limit for row in law(id).rows} <= set(NAMES)
    assert law(id).edition


def test_a_house_changes_its_copy_and_the_law_stays() -> None:
    own = limits("us", {"cold_c": 4, "out_long_min": None})
    assert (own.cold_c, own.out_long_min, own.hot_c) == (4, None, 57)
    assert section(own, "cold_c") == "the house's own limit"
    assert limits("us").cold_c == 5


def test_a_limit_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="no such limits: warmth"):
        limits("us", {"warmth": 3})
    with pytest.raises(ValueError, match="no law 'mars'"):
        limits("mars")


@pytest.mark.parametrize(("limit", "fahrenheit"), [("cold_c", 41), ("cool_middle_c", 70)])
def test_a_thermometer_in_fahrenheit_is_not_too_warm_by_rounding(
    limit: str, fahrenheit: float
) -> None:
    """70 °F is 21.1 °C, which the Food Code prints as 21 °C."""
    said = limits("us").get(limit)
    assert said is not None
    assert (fahrenheit - 32) / 1.8 <= said + ROUNDING_C
