"""A plan in a kitchen without limits has its batches late, and is still a plan."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from app.planning.audit import audit
from app.planning.codes import codes_of
from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.reading import read_day
from app.planning.rough import Supposed, rough_count
from tests.bench.productions import production
from tests.random_days import tiny_day

# What a plan for the chart leaves out: places, crew, sums and goals of its own.
UNTOLD = {"crew", "equipment", "shelf", "goals"}
CLASS = Path(__file__).parents[2] / "seed_demo" / "class.day.json"


def supposed(day: Day) -> Iterator[Supposed]:
    """Yield what the counts of a day suppose."""
    for each in day.demonstrations:
        rough = rough_count(day, each.id)
        if rough.supposed is not None:
            yield rough.supposed


def days() -> list[Day]:
    """Return a day of an evening class and a generated production."""
    return [read_day(json.loads(CLASS.read_text("utf-8"))), read_day(production(6, 1))]


def test_what_a_count_supposes_breaks_no_rule_of_the_food() -> None:
    """Tests it by the checker that shares no code with the planner: only the kitchen is untold."""
    seen = 0
    for day in days():
        for each in supposed(day):
            seen += 1
            assert {breach.code for breach in audit(each.day, each.plan)} <= UNTOLD
    assert seen >= 6


@pytest.mark.parametrize("first", range(0, 200, 50))
def test_what_a_count_of_a_random_day_supposes_breaks_no_rule(first: int) -> None:
    """Tests the plans of fifty tiny days: those that lack something tell of it elsewhere."""
    untold = UNTOLD | {"unserved", "backups"}
    for seed in range(first, first + 50):
        for each in supposed(read_day(tiny_day(seed))):
            assert {breach.code for breach in audit(each.day, each.plan)} <= untold, seed


def test_a_batch_ends_when_what_it_is_for_begins(knots_day: Day) -> None:
    """Tests the minutes of the knots: no batch waits for one that it could have followed."""
    (each,) = supposed(knots_day)
    clock = Clock(each.day.timezone)
    copies = {copy.id: copy for copy in each.plan.copies}
    starts = {batch.id: clock.minute(batch.starts) for batch in each.plan.batches}
    tight = 0
    for batch in each.plan.batches:
        for copy in (copies[name] for name in batch.copies):
            for taker in copy.taken_by[:1]:
                if taker.batch is not None:
                    assert clock.minute(batch.ends) <= starts[taker.batch]
                    tight += clock.minute(batch.ends) == starts[taker.batch]
    assert tight


def test_the_count_and_what_it_supposes_are_one(knots_day: Day) -> None:
    """Tests that the copies of the plan are those that were counted, at their cost."""
    rough = rough_count(knots_day, "knots")
    assert rough.supposed is not None
    plan = rough.supposed.plan
    made = [copy for copy in plan.copies if copy.made_by.batch is not None]
    counted = {key: count for key, count in rough.made if count}
    assert {
        key: sum((copy.demonstration, copy.stage) == key for copy in made) for key in counted
    } == counted


@pytest.mark.parametrize(
    "name", ["stock-taken", "shelf-one-slot-two-cooks", "first-beat-hands-over"]
)
def test_stock_and_what_is_handed_over_are_supposed(
    golden: Callable[[str], Any], name: str
) -> None:
    """Tests days whose copies come from elsewhere than a batch."""
    for each in supposed(Day.model_validate(golden(f"{name}.day.json"))):
        assert {breach.code for breach in audit(each.day, each.plan)} <= UNTOLD


def test_letters_are_those_of_the_whole_production() -> None:
    """Tests that a tag begins as it does in a plan of all demonstrations."""
    day = days()[1]
    twins = (day.demonstrations[0], day.demonstrations[0].model_copy(update={"id": "sour-loaf"}))
    whole = day.model_copy(update={"demonstrations": twins + day.demonstrations[1:]})
    codes = codes_of(whole)
    for each in supposed(whole):
        for copy in each.plan.copies:
            assert copy.tag.startswith(f"{codes[copy.demonstration]}-")
