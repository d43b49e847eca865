"""A core that is measured after the heat, against what the Food Code asks."""

import pytest

from app.food.cooking import core, rule
from app.food.held import Reading
from app.food.limits import limits

OUT = 600


def found(*readings: tuple[int, float], wanted_c: float = 74) -> float | None:
    """Return the core that is told to be too cold, heated from 570 to 600."""
    told = core("pie", wanted_c, OUT - 30, OUT, [Reading(at, celsius) for at, celsius in readings])
    return None if told is None else told.celsius


def test_a_core_below_what_is_due_is_told() -> None:
    """Poultry to 165 °F (FDA Food Code 3-401.11): 73 °C is not there, 74 °C is."""
    assert found((OUT, 73)) == 73
    assert found((OUT, 74)) is None


def test_a_thermometer_in_fahrenheit_counts_as_well() -> None:
    """165 °F is 73.9 °C; the Food Code prints 74 °C beside it."""
    assert found((OUT, (165 - 32) / 1.8)) is None
    assert found((OUT, (164 - 32) / 1.8)) is not None


def test_what_is_cooked_on_and_measured_again_is_cooked() -> None:
    assert found((OUT, 68), (OUT + 25, 75)) is None
    assert found((OUT, 68), (OUT + 240, 75)) is None


def test_of_several_readings_the_hottest_is_told() -> None:
    assert found((OUT - 2, 61), (OUT + 3, 70), (OUT + 20, 66)) == 70


def test_a_reading_of_what_cools_says_nothing_of_its_cooking() -> None:
    """Half an hour out of the heat it has cooled (common practice)."""
    assert found((OUT + 31, 40)) is None
    assert found((OUT - 31, 4)) is None


def test_nobody_measured() -> None:
    assert found() is None


@pytest.mark.parametrize(
    ("celsius", "words"), [(63, "145 °F for 15 s"), (68, "155 °F for 17 s"), (74, "165 °F")]
)
def test_the_rule_is_told_with_section_and_edition(celsius: float, words: str) -> None:
    """FDA Food Code 3-401.11, read in state texts that keep its numbering."""
    told = rule(limits("us"), celsius)
    assert told.startswith("3-401.11, Food Code 2022")
    assert words in told


def test_the_uk_s_figure_is_told_as_guidance() -> None:
    """Food Standards Agency, Cooking your food (read in secondary texts)."""
    told = rule(limits("uk"), 70)
    assert told.startswith("FSA advice on cooking, Food Standards Agency")
    assert "held for 2 min" in told


def test_a_figure_of_no_law_is_the_demonstration_s_own() -> None:
    assert rule(limits("us"), 96) == "the demonstration’s own figure"
    assert rule(limits("uk"), 74) == "the demonstration’s own figure"
