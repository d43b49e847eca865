"""Days with every word filled in go through the store and come out as they went in."""

import json
from pathlib import Path

from hypothesis import HealthCheck, given, settings

from app.planning.canonical import canonical
from app.planning.day import Day
from app.planning.reading import read_day
from tests.rich_days import rich_days
from tests.storage.test_translate import through_the_store

drawn = settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


@drawn
@given(rich_days())
def test_a_rich_day_comes_back_from_the_store(store: Path, day: Day) -> None:
    """Tests words with quotes, line ends, other alphabets and marks, byte for byte."""
    assert canonical(through_the_store(day)) == canonical(day)


@drawn
@given(rich_days())
def test_a_rich_day_comes_back_from_its_file(day: Day) -> None:
    """Tests that the canonical file says all that the day says."""
    assert read_day(json.loads(canonical(day))) == day
