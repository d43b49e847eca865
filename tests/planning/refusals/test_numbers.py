"""Numbers that are none, too small, too large, or fractions where whole ones belong."""

from typing import Any

import pytest

from app.planning.reading import read_day
from tests.planning.refusals.faults import only_fault_of
from tests.planning.whole_day import changed, whole_day

STAGE = "demonstrations[0].stages[2]"
WAY = "demonstrations[0].stages[1].ways[0]"
PHASE = "demonstrations[0].stages[0].ways[0].phases[0]"
BEAT = "demonstrations[0].beats[1]"
KEEPS = f"{STAGE}.keeps_min"

WRONG = [
    (KEEPS, True, "true is no number; write a whole number of 0 or more"),
    (KEEPS, "240", '"240" is text; write the number without quotes'),
    (KEEPS, "long", '"long" is no number; write a whole number of 0 or more'),
    (KEEPS, None, "null is no number; write a whole number of 0 or more"),
    (KEEPS, [240], "a list is no number; write a whole number of 0 or more"),
    (KEEPS, {}, "an object is no number; write a whole number of 0 or more"),
    (KEEPS, float("nan"), "NaN is no number; write a whole number of 0 or more"),
    (KEEPS, float("inf"), "Infinity is too large; write 1000000 at most"),
    (KEEPS, float("-inf"), "-Infinity is negative; write a whole number of 0 or more"),
    (KEEPS, 2.5, "2.5 is a fraction; write a whole number, such as 2"),
    (KEEPS, -1, "-1 is negative; write a whole number of 0 or more"),
    (KEEPS, 1_000_001, "1000001 is too large; write 1000000 at most"),
    (KEEPS, 10**99, f"{10**99} is too large; write 1000000 at most"),
    (f"{STAGE}.cost", float("nan"), "NaN is no number; write a number of 0 or more"),
    (f"{STAGE}.cost", -0.5, "-0.5 is negative; write a number of 0 or more"),
    (f"{STAGE}.cost", 1_000_000.5, "1000000.5 is too large; write 1000000 at most"),
    (f"{STAGE}.loss", 1, "1 is not below 1; write a number of 0 or more and below 1"),
    (f"{STAGE}.loss", -0.1, "-0.1 is negative; write a number of 0 or more and below 1"),
    (f"{WAY}.loss", 1.0, "1.0 is not below 1; write a number of 0 or more and below 1"),
    ("policy.confidence", 0, "0 is not above 0; write a number above 0 and below 1"),
    ("policy.confidence", 1, "1 is not below 1; write a number above 0 and below 1"),
    ("policy.confidence", -1, "-1 is negative; write a number above 0 and below 1"),
    ("policy.spread", -0.1, "-0.1 is negative; write a number of 0 or more"),
    (f"{STAGE}.ingredients[0].amount", -1, "-1 is negative; write a number of 0 or more"),
]
LEAST_ONE = [
    "kitchen.equipment[0].units",
    "stock[0].count",
    f"{STAGE}.from[0].count",
    f"{STAGE}.yields",
    f"{STAGE}.slots",
    "demonstrations[0].stages[1].copies_per_slot",
    f"{WAY}.batch_max",
    f"{WAY}.yields",
    f"{WAY}.from[0].count",
    f"{STAGE}.ways[0].phases[0].equipment[0].copies_per_unit",
    f"{BEAT}.lasts_s",
    f"{BEAT}.needs[0].count",
    "demonstrations[0].beats[0].leaves[0].count",
    "runs[0].stations",
]
LEAST_ZERO = [
    "policy.ready_margin_min",
    "policy.return_min",
    "policy.step_slack_min",
    "kitchen.equipment[0].settings.change_min",
    "kitchen.equipment[0].settings.cold_after_min",
    "kitchen.shelves[0].levels[1]",
    KEEPS,
    f"{STAGE}.cook_to_c",
    f"{STAGE}.safety_min",
    f"{PHASE}.lasts_min",
    f"{PHASE}.per_copy_min",
    f"{PHASE}.per_copy_s",
    f"{PHASE}.hands",
    f"{PHASE}.equipment[0].per_batch",
    f"{STAGE}.ways[0].phases[0].equipment[0].setting",
    f"{BEAT}.starts_s",
    f"{BEAT}.needs[0].backups",
    f"{BEAT}.needs[0].ready_margin_min",
    "runs[0].ready_margin_min",
]
FRACTIONS = [
    f"{STAGE}.cost",
    f"{STAGE}.loss",
    f"{WAY}.cost",
    f"{WAY}.loss",
    "policy.confidence",
    "policy.spread",
    f"{STAGE}.ingredients[0].amount",
]


@pytest.mark.parametrize(("place", "value", "words"), WRONG)
def test_a_wrong_number_is_refused_with_its_mend(place: str, value: Any, words: str) -> None:
    """The sentence names the place, the value and what to write instead."""
    assert only_fault_of({place: value}) == f"{place}: {words}"


@pytest.mark.parametrize("place", LEAST_ONE)
def test_counts_start_at_one(place: str) -> None:
    """Nothing can be counted, split or multiplied by no copy."""
    expected = f"{place}: 0 is less than 1; write a whole number of 1 or more"
    assert only_fault_of({place: 0}) == expected


@pytest.mark.parametrize("place", LEAST_ZERO)
def test_no_number_is_negative(place: str) -> None:
    """Every span and every measure is refused below nothing."""
    expected = f"{place}: -1 is negative; write a whole number of 0 or more"
    assert only_fault_of({place: -1}) == expected


@pytest.mark.parametrize("place", [*LEAST_ONE, *LEAST_ZERO])
def test_whole_numbers_have_no_fractions(place: str) -> None:
    """Only cost, loss, confidence, spread and amount may have them."""
    expected = f"{place}: 7.5 is a fraction; write a whole number, such as 7"
    assert only_fault_of({place: 7.5}) == expected


@pytest.mark.parametrize("place", FRACTIONS)
def test_five_kinds_of_number_may_have_fractions(place: str) -> None:
    """What is measured or weighed is seldom whole."""
    assert read_day(changed(whole_day(), {place: 0.25}))


@pytest.mark.parametrize("place", [*LEAST_ONE, *LEAST_ZERO, f"{STAGE}.cost"])
def test_no_number_is_beyond_a_million(place: str) -> None:
    """A number past all kitchens is a slip of the keys."""
    expected = f"{place}: 1000001 is too large; write 1000000 at most"
    assert only_fault_of({place: 1_000_001}) == expected


def test_a_million_minutes_are_just_allowed() -> None:
    """The limit itself counts as within."""
    assert read_day(changed(whole_day(), {KEEPS: 1_000_000}))


def test_a_whole_number_may_be_written_with_a_point() -> None:
    """A spreadsheet writes 2.0 for 2."""
    day = read_day(changed(whole_day(), {KEEPS: 240.0}))
    keeps = day.stage("buns", "baked").keeps_min
    assert (keeps, type(keeps)) == (240, int)
