"""A day that goes into the store comes out as it was."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from pydantic import BaseModel

from app.planning.canonical import canonical
from app.planning.day import Day
from app.storage.engine import reading, writing
from app.storage.refusals import NotThere
from app.storage.translate import day_of, store_day
from tests.random_days import days
from tests.storage.any_day import any_days
from tests.storage.rich_day import RICH

GOLDEN = sorted((Path(__file__).parents[1] / "golden").glob("*.day.json"))


def through_the_store(day: Day) -> Day:
    """Return a day as the store gives it back."""
    with writing() as connection:
        production = store_day(connection, day)
    with reading() as connection:
        return day_of(connection, production)


def values_of(fact: BaseModel) -> dict[tuple[type, str], list[Any]]:
    """Return all values that a day gives each field of each kind of fact."""
    found: dict[tuple[type, str], list[Any]] = {}
    for name in type(fact).model_fields:
        value = getattr(fact, name)
        found.setdefault((type(fact), name), []).append(value)
        for part in value if isinstance(value, tuple) else (value,):
            if isinstance(part, BaseModel):
                for key, more in values_of(part).items():
                    found.setdefault(key, []).extend(more)
    return found


def test_the_rich_day_leaves_no_field_at_its_default() -> None:
    """Else a field that the store forgets would not be noticed."""
    for (kind, name), values in values_of(Day.model_validate(RICH)).items():
        default = kind.model_fields[name].get_default(call_default_factory=True)
        assert any(value != default for value in values) or name == "format", (kind, name)


def test_a_day_with_every_field_comes_back_as_it_was(store: Path) -> None:
    """Tests every field once with a value of its own, and *absent* against *empty*."""
    day = Day.model_validate(RICH)
    assert through_the_store(day) == day
    assert canonical(through_the_store(day)) == canonical(day)


def test_all_example_days_come_back_as_they_were(store: Path, golden: Any) -> None:
    """Tests the canonical file, byte for byte."""
    assert len(GOLDEN) > 40
    for path in GOLDEN:
        day = Day.model_validate(golden(path.name))
        assert canonical(through_the_store(day)) == canonical(day), path.name


def test_the_studio_day_comes_back_as_it_was(store: Path, example_day: Day) -> None:
    """Tests the production that a fresh install opens."""
    assert canonical(through_the_store(example_day)) == canonical(example_day)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(day=days())
def test_any_day_that_can_be_planned_comes_back_as_it_was(store: Path, day: Day) -> None:
    """Tests the canonical file, byte for byte, over generated days."""
    assert canonical(through_the_store(day)) == canonical(day)


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(day=any_days)
def test_any_values_come_back_as_they_were(store: Path, day: Day) -> None:
    """Tests every field with any value that it may have, absent and empty apart."""
    assert through_the_store(day) == day


def test_days_do_not_mix(store: Path) -> None:
    """Two productions with the same ids keep their own rows."""
    day = Day.model_validate(RICH)
    other = day.model_copy(update={"title": "Another", "runs": day.runs[:1]})
    with writing() as connection:
        first, second = store_day(connection, day), store_day(connection, other)
    with reading() as connection:
        assert day_of(connection, first) == day
        assert day_of(connection, second) == other


def test_a_kitchen_is_kept_once_and_used_by_two_productions(store: Path) -> None:
    """The second production brings its own shifts to the first one's kitchen."""
    from app.storage.translate.days import production_row

    day = Day.model_validate(RICH)
    cooks = tuple(cook.model_copy(update={"shifts": ()}) for cook in day.kitchen.crew)
    kitchen = day.kitchen.model_copy(update={"crew": cooks})
    quiet = day.model_copy(update={"kitchen": kitchen})
    with writing() as connection:
        first = store_day(connection, day)
        owner = production_row(connection, first)["kitchen_id"]
        second = store_day(connection, quiet, owner)
        assert production_row(connection, second)["kitchen_id"] == owner
    with reading() as connection:
        assert day_of(connection, first) == day
        assert day_of(connection, second) == quiet


def test_a_production_that_is_not_there_is_told(store: Path) -> None:
    """Tests the sentence behind a page that is not found."""
    with reading() as connection, pytest.raises(NotThere, match="no such production"):
        day_of(connection, 7)


def test_a_day_is_read_with_a_constant_number_of_queries(store: Path, example_day: Day) -> None:
    """Tests that a larger day costs no more round trips."""
    from tests.storage.counting import queries_of

    with writing() as connection:
        small = store_day(connection, Day.model_validate(RICH))
        large = store_day(connection, example_day)
    assert queries_of(lambda connection: day_of(connection, small)) == queries_of(
        lambda connection: day_of(connection, large)
    )
