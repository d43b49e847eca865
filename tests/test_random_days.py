"""The random days are worth testing with: valid, and together they use every field."""

from typing import Any

from pydantic import BaseModel

from app.planning.day import Day
from app.planning.reading import read_day
from tests.random_days import newest, tiny_day
from tests.rich_days import rich_day

SEEDS = range(250)
# fixed by the format, or told by words alone; the rich days draw those
WORDS = {
    "title", "name", "code", "kind", "spread", "ingredients", "tools", "container", "look",
    "caution", "photo", "does", "dressing", "note", "people", "format", "id",
}  # fmt: skip


def drawn(fact: BaseModel, found: set[tuple[str, str]]) -> None:
    """Note each field of a day that is not at its default."""
    for name, field in type(fact).model_fields.items():
        value: Any = getattr(fact, name)
        if value != field.get_default(call_default_factory=True):
            found.add((type(fact).__name__, name))
        for part in value if isinstance(value, tuple) else (value,):
            if isinstance(part, BaseModel):
                drawn(part, found)


def fields_of(fact: type[BaseModel], seen: dict[str, set[str]]) -> dict[str, set[str]]:
    """Return the fields of every kind of fact that a day holds."""
    seen[fact.__name__] = set(fact.model_fields)
    for subclass in _facts_in(fact):
        if subclass.__name__ not in seen:
            fields_of(subclass, seen)
    return seen


def _facts_in(fact: type[BaseModel]) -> list[type[BaseModel]]:
    found: list[type[BaseModel]] = []
    waiting: list[Any] = [field.annotation for field in fact.model_fields.values()]
    while waiting:
        each = waiting.pop()
        if isinstance(each, type) and issubclass(each, BaseModel):
            found.append(each)
        waiting += getattr(each, "__args__", ())
    return found


def test_tiny_days_draw_every_field_that_is_planned_with() -> None:
    """Tests that no rule is left untried because no day ever asks for it."""
    found: set[tuple[str, str]] = set()
    for seed in (*SEEDS, *newest(250)):
        drawn(read_day(tiny_day(seed)), found)
    planned = {
        (fact, name)
        for fact, names in fields_of(Day, {}).items()
        for name in names - WORDS
        if fact not in ("Ingredient", "Person")
    }
    assert planned - found == set()


def test_later_days_draw_what_earlier_ones_leave_out() -> None:
    """Tests that ways have inputs of their own, and equipment for the batch and for each copy."""
    days = [read_day(tiny_day(seed)) for seed in newest(250)]
    ways = [way for day in days for _, stage in day.all_stages() for way in stage.ways]
    assert any(way.takes for way in ways)
    entries = [entry for way in ways for phase in way.phases for entry in phase.equipment]
    assert any(entry.per_batch and entry.copies_per_unit for entry in entries)


def test_rich_days_draw_every_field() -> None:
    """Tests that words and food facts are all filled in somewhere."""
    found: set[tuple[str, str]] = set()
    for seed in SEEDS:
        drawn(read_day(rich_day(seed)), found)
    every = {(fact, name) for fact, names in fields_of(Day, {}).items() for name in names}
    assert every - found == {("Day", "format")}


def test_a_seed_gives_the_same_day() -> None:
    """Tests that a difference can be told by its seed."""
    assert [tiny_day(seed) for seed in range(20)] == [tiny_day(seed) for seed in range(20)]
