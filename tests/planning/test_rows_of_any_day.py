"""Rows, pull lists and shelves of any plan say all that the plan holds, and nothing twice."""

from collections import Counter
from functools import cache
from itertools import pairwise

import pytest

from app.planning.day import Day
from app.planning.eating import contained, eating
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.pulls import beat_pulls, stage_pulls
from app.planning.solve import solve
from app.planning.standing import Destinations, standing_at, stays
from app.planning.tasks import sentence, tasks
from app.web.charts.shelves import units
from tests.random_days import tiny_day

SEEDS = range(40, 64)


@cache
def planned(seed: int) -> tuple[Day, Plan]:
    """Return a random day and its plan."""
    day = Day.model_validate(tiny_day(seed))
    return day, solve(day)


@pytest.mark.parametrize("seed", SEEDS)
def test_rows_start_and_stage_each_batch_once_and_keep_each_cook_whole(seed: int) -> None:
    day, plan = planned(seed)
    rows = tasks(day, plan)
    assert Counter(row.batch for row in rows if row.first) == Counter(b.id for b in plan.batches)
    assert Counter(row.batch for row in rows if row.last) == Counter(b.id for b in plan.batches)
    assert len(rows) == len(plan.heats) + sum(len(batch.phases) for batch in plan.batches)
    for cook in day.kitchen.crew:
        mine = [row for row in rows if cook.id in row.crew]
        assert all(one.ends <= next.starts for one, next in pairwise(mine))
    clock = Clock(day.timezone)
    assert all(sentence(row, clock) for row in rows)


@pytest.mark.parametrize("seed", SEEDS)
def test_pull_lists_hold_every_copy_that_is_made_and_every_one_that_goes_to_set(
    seed: int,
) -> None:
    day, plan = planned(seed)
    batches = {batch.id: batch for batch in plan.batches}
    pulls = stage_pulls(day, plan)
    assert sorted(told.batch for pull in pulls for told in pull.batches) == sorted(batches)
    for pull in pulls:
        assert pull.copies == sum(told.copies for told in pull.batches)
        for told in pull.batches:
            batch = batches[told.batch]
            assert sum(len(fetch.tags) for fetch in told.inputs) == len(batch.consumes)
            assert sum(len(fetch.tags) for fetch in told.goes) == len(batch.copies)
    needs = [need for pull in beat_pulls(day, plan) for need in pull.needs]
    assert sum(len(f.tags) for n in needs for f in n.takes) == sum(len(u.copies) for u in plan.uses)
    lacks = sum(lack.count for lack in plan.unmet if lack.kind == "copies")
    assert sum(need.lacks for need in needs) == lacks


@pytest.mark.parametrize("seed", SEEDS)
def test_shelves_show_every_copy_where_it_stands_at_every_minute(seed: int) -> None:
    day, plan = planned(seed)
    clock, waits = Clock(day.timezone), stays(day, plan)
    for minute in sorted({minute for stay in waits for minute in (stay.starts, stay.ends)}):
        drawn = [
            copy
            for unit in units(day, standing_at(waits, minute))
            for level in unit.levels
            for slot in level
            for stay in slot.stays
            if not stay.is_working
            for copy in stay.copies
        ]
        standing = [
            copy.id
            for copy in plan.copies
            for place in copy.places
            if clock.minute(place.from_) <= minute < clock.minute(place.to)
        ]
        assert sorted(drawn) == sorted(standing)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_copy_can_be_told_about(seed: int) -> None:
    """What it is for, whether it may be eaten and what is in it: for each copy of each plan."""
    day, plan = planned(seed)
    destinations = Destinations(day, plan)
    for copy in plan.copies:
        assert destinations.all_of(copy), copy.id
        assert eating(day, plan, copy, 0).why
        contained(day, copy.demonstration, copy.stage)
