"""Whole days of accidents: events are read back, states hold together, two readings agree."""

import random
from collections import Counter

import pytest

from app.exchange.eventfile import dump_events, load_events
from app.planning.audit import audit
from app.planning.day import Day
from app.planning.frozen import frozen_of
from app.planning.happened import Happened, happened
from app.planning.needs import needs_of
from app.planning.plan import Plan
from app.planning.reading import faults_of_day, read_day
from app.planning.solve import solve
from tests.random_accidents import Walk, as_it_happened, as_planned
from tests.random_days import newest, tiny_day

MOST_EVENTS = 40
SEEDS = range(25)
# How the audit begins, or ends, a sentence about what it reads of the events by itself.
OF_HISTORY = ("phases: ", "unserved: run")
OF_THE_DAY = ("has used", "the day does not say so.", "is left out.")


def _walk(day: Day, plan: Plan, seed: int, slower: int = 1) -> Walk:
    walk = Walk(day, plan, random.Random(seed), slower)
    walk.now = min(walk.clock.minute(batch.starts) for batch in plan.batches) - 20 // slower
    return walk


def _steps(walk: Walk) -> list[str]:
    """Go on until the day is over, and return what happened."""
    happenings = []
    while not walk.is_over and len(walk.events) < MOST_EVENTS:
        happenings.append(walk.step())
    return happenings


def test_every_accident_happens(knots_day: Day, knots_plan: Plan) -> None:
    """Over some days, that is."""
    names = Counter[str]()
    for seed in range(60):
        names.update(_steps(_walk(knots_day, knots_plan, seed)))
    walk = _walk(knots_day, knots_plan, 0)
    assert set(walk.accidents) - set(names) == set()


@pytest.mark.parametrize("seed", SEEDS)
def test_a_day_of_accidents_is_read_back(seed: int, knots_day: Day, knots_plan: Plan) -> None:
    """The walk tells nothing that a file may not say, and the file says it all."""
    walk = _walk(knots_day, knots_plan, seed)
    _steps(walk)
    _check_reading(walk)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_state_holds_together(seed: int, knots_day: Day, knots_plan: Plan) -> None:
    """After each step: times, copies and uses fit; told again to its own day, it is the same."""
    walk = _walk(knots_day, knots_plan, seed)
    while not walk.is_over and len(walk.events) < MOST_EVENTS:
        walk.step()
        _check_state(walk)


@pytest.mark.parametrize("seed", SEEDS)
def test_planner_and_audit_read_the_same_of_it(seed: int, knots_day: Day, knots_plan: Plan) -> None:
    """Written down as the planner reads it, what has happened breaks nothing for the audit."""
    walk = _walk(knots_day, knots_plan, seed)
    while not walk.is_over and len(walk.events) < MOST_EVENTS:
        walk.step()
        _check_audit(walk)


@pytest.mark.parametrize("seed", [*range(12), *newest(6)])
def test_any_day_may_have_its_accidents(seed: int) -> None:
    """All of it on tiny days that use every field of the model."""
    day = read_day(tiny_day(seed))
    plan = solve(day)
    walk = _walk(day, plan, seed, slower=10) if plan.batches else None
    while walk and not walk.is_over and len(walk.events) < MOST_EVENTS:
        walk.step()
        _check_state(walk)
        _check_audit(walk)
    if walk:
        _check_reading(walk)


@pytest.mark.parametrize("seed", [*range(12), *newest(6)])
def test_a_day_that_goes_as_planned_breaks_nothing(seed: int) -> None:
    """Each tick to the minute: at each minute of the day the published plan keeps every rule."""
    for walk in as_planned(seed):
        assert audit(walk.day, walk.plan, walk.events, walk.clock.text(walk.now)) == []


def _check_reading(walk: Walk) -> None:
    now = walk.clock.text(walk.now)
    assert list(load_events(dump_events(walk.events), walk.day, walk.plan, now)) == walk.events


def _check_state(walk: Walk) -> None:
    state = walk.state()
    _check_times(state)
    _check_copies(state)
    _check_uses(state)
    _check_frozen(walk, state)
    again = happened(state.day, walk.plan, walk.events, walk.now)
    assert (again.day, again.begun, again.copies) == (state.day, state.begun, state.copies)


def _check_audit(walk: Walk) -> None:
    state, now = walk.state(), walk.clock.text(walk.now)
    told = as_it_happened(walk, state)
    breaches = [str(each) for each in audit(state.day, told, walk.events, now)]
    found = [each for each in breaches if each.startswith(OF_HISTORY)]
    found += [each for each in breaches if each.endswith(OF_THE_DAY)]
    assert found == [], walk.events


def _check_frozen(walk: Walk, state: Happened) -> None:
    frozen = frozen_of(state, walk.plan)
    listed = [copy for supply in frozen.supplies for copy in supply.copies]
    serving = {c for c, known in state.copies.items() if known.state not in ("used", "lost")}
    assert len(listed) == len(set(listed))
    assert set(listed) <= serving
    assert {c for c in serving - set(listed) if state.copies[c].state != "coming"} == set()
    planned = {batch.batch for batch in frozen.published}
    assert planned | state.begun.keys() == {batch.id for batch in walk.plan.batches}
    assert faults_of_day(frozen.day) == []


def _check_times(state: Happened) -> None:
    for begun in state.begun.values():
        assert all(starts <= ends for starts, ends in begun.spans)
        assert all(a[1] == b[0] for a, b in zip(begun.spans, begun.spans[1:], strict=False))
        assert begun.starts <= state.now
        assert (begun.ends <= state.now) if begun.is_staged else (begun.ends >= state.now)


def _check_copies(state: Happened) -> None:
    made = {copy for begun in state.begun.values() for copy in begun.batch.copies}
    assert made <= state.copies.keys()
    for known in state.copies.values():
        batches = [taker for taker in known.takers if taker.batch]
        assert len(batches) <= 1
        assert not batches or (known.state == "used" and known.takers[-1] == batches[0])
        assert (known.spot is None) or known.state == "kitchen"
        if known.state == "kitchen":
            assert max(known.staged, known.ready) <= state.now
        if known.state == "coming":
            assert known.takers == ()


def _check_uses(state: Happened) -> None:
    counts = {(use.run, use.beat, use.stage[1]): use.count for use in needs_of(state.day).uses}
    for key, copies in state.uses.items():
        assert len(set(copies)) == len(copies) <= counts[key]
        for copy in copies:
            assert any(taker.use == key[:2] for taker in state.copies[copy].takers)
