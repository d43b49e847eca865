"""How times, lengths and numbers read on a screen."""

import pytest

from app.web import words


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0, "0 min"), (45, "45 min"), (60, "1 h"), (80, "1 h 20"), (65, "1 h 05"), (1440, "1 day")],
)
def test_a_length_reads_as_a_cook_says_it(minutes: int, said: str) -> None:
    """Minutes under the hour, then hours and minutes, then days."""
    assert words.lasting(minutes) == said


def test_a_day_and_a_bit() -> None:
    """Days, hours and minutes together."""
    assert words.lasting(2 * 1440 + 3 * 60 + 5) == "2 days 3 h 05"


def test_a_double_hour_keeps_its_offset() -> None:
    """Where the clocks go back, 01:30 alone would mean two moments."""
    assert words.hour("2027-10-31T01:30+01:00") == "01:30 (+01:00)"
    assert words.when("2027-03-04T14:00") == "Thu 4 March, 14:00"


def test_numbers_have_no_needless_zeros() -> None:
    """Costs may be fractions; counts are whole."""
    assert [words.number(each) for each in (48, 1.0, 2.5, 0.125)] == ["48", "1", "2.5", "0.12"]


def test_things_are_listed_as_people_list_them() -> None:
    """Commas, and one *and*."""
    assert words.listed(["a"]) == "a"
    assert words.listed(["a", "b", "c"]) == "a, b and c"
    assert words.many(1, "copy", "copies") == "1 copy"
    assert words.many(3, "run") == "3 runs"


def test_seconds_of_work_and_of_a_run() -> None:
    """Tenths only while they matter; a run's seconds as a stop watch shows them."""
    assert [words.seconds(each) for each in (0.44, 12.7, 80.0)] == ["0.4 s", "12 s", "1 min 20 s"]
    assert [words.seconds(each) for each in (0, 5, 240)] == ["0 s", "5 s", "4 min"]
    assert words.run_second(725) == "12:05"
