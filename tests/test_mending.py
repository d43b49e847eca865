"""Whole days of accidents, mended at each: every mended plan keeps every rule."""

import random

import pytest

from app.exchange.eventfile import dump_events, load_events
from app.planning.audit import audit
from app.planning.day import Day
from app.planning.mending import mend
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.replan import Mended, replan
from app.planning.solve import solve
from tests.planning import drafts
from tests.planning.told import log
from tests.random_accidents import Walk
from tests.random_days import newest, tiny_day

MOST_EVENTS = 30


def _walk(day: Day, plan: Plan, seed: int, slower: int = 1) -> Walk:
    walk = Walk(day, plan, random.Random(seed), slower)
    walk.now = min(walk.clock.minute(batch.starts) for batch in plan.batches) - 20 // slower
    return walk


def _mended(walk: Walk) -> Mended:
    return replan(walk.day, walk.plan, walk.events, walk.clock.text(walk.now), mend)


def _mend_at_each_step(walk: Walk) -> None:
    """Go through a day; after each accident the mended plan is audited and taken up."""
    while not walk.is_over and len(walk.events) < MOST_EVENTS:
        walk.step()
        mended, now = _mended(walk), walk.clock.text(walk.now)
        assert audit(mended.day, mended.plan, walk.events, now) == [], walk.events
        told = load_events(dump_events(walk.events), mended.day, mended.plan, now)
        assert list(told) == walk.events
        walk.mended(mended.day, mended.plan)


@pytest.mark.parametrize("seed", [0, 2, 3])
def test_a_day_of_accidents_is_mended(seed: int, knots_day: Day, knots_plan: Plan) -> None:
    """Nothing that has begun moves, and what is still to come keeps every rule."""
    _mend_at_each_step(_walk(knots_day, knots_plan, seed))


@pytest.mark.parametrize("seed", [*range(8), *newest(12)])
def test_any_day_of_accidents_is_mended(seed: int) -> None:
    """All of it on tiny days that use every field of the model."""
    day = read_day(tiny_day(seed))
    plan = solve(day)
    if plan.batches:
        _mend_at_each_step(_walk(day, plan, seed, slower=10))


def test_a_batch_of_what_a_beat_left_tells_that_all_before_was_there(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Crew forgot to tick the whole morning; the first tick is of what take one left."""
    left = {copy.id for copy in knots_plan.copies if copy.made_by.use is not None}
    batches = [batch for batch in knots_plan.batches if left & set(batch.consumes)]
    assert batches
    for batch in batches:
        walk = Walk(knots_day, knots_plan, random.Random(0))
        walk.now = walk.clock.minute(batch.starts)
        walk.tell("started", batch=batch.id)
        mended, now = _mended(walk), walk.clock.text(walk.now)
        assert audit(mended.day, mended.plan, walk.events, now) == []


def test_nothing_changes_where_nothing_happens(knots_day: Day, knots_plan: Plan) -> None:
    """The plan stays, batch by batch, and keeps its figures."""
    walk = Walk(knots_day, knots_plan, random.Random(0))
    mended = _mended(walk)
    assert mended.changes == ()
    assert mended.plan.batches == knots_plan.batches
    assert mended.plan.objective == knots_plan.objective


def test_what_would_lack_behind_others_is_planned_before_them() -> None:
    """Ben goes, and Ada has 43 minutes: buns can be made early in them, tarts only at the end."""
    dishes = [_dish("buns", 15, 240), _dish("tarts", 25, 5)]
    facts = {
        **drafts.day([], [], []),
        "kitchen": {
            "crew": [drafts.cook("ada", ("11:05", "11:48")), drafts.cook("ben", ("09:00", "12:30"))]
        },
        "demonstrations": dishes,
        "runs": [drafts.run(f"{each['id']}-take", "12:00", each["id"]) for each in dishes],
    }
    day = read_day(facts)
    spans = {"buns": ("10:40", "10:55"), "tarts": ("11:25", "11:50")}
    draft = drafts.Draft(facts)
    for dish, (starts, ends) in spans.items():
        draft.batch(f"of-{dish}", f"{dish}/made", f"{dish}1", (starts, ends, "ben"))
        draft.use(f"{dish}-take/show/made", f"{dish}1")
    assert draft.broken() == set()
    plan = Plan.model_validate(draft.document())
    away = {"crew": "ben", "from": drafts.at("10:00"), "to": drafts.at("12:30")}
    mended = replan(day, plan, log(("absent", "10:00", away)), drafts.at("10:00"), mend)
    assert mended.plan.objective.unmet == 0


def _dish(dish: str, lasts_min: int, keeps_min: int) -> drafts.Facts:
    """Return a demonstration that shows one copy, of one stage that one cook makes."""
    shown = drafts.beat("show", 0, 60, {"made": 1}, {})
    made = drafts.stage("made", drafts.way(lasts_min), keeps_min=keeps_min + 10)
    return {"id": dish, "title": dish, "code": dish[0], "stages": [made], "beats": [shown]}


def test_nobody_is_with_two_things_where_work_goes_on_beyond_a_shift() -> None:
    """Forty minutes of dough begin late and end after Ada's shift: she rolls nothing meanwhile."""
    stages = [drafts.stage("dough", drafts.way(40)), drafts.stage("roll", drafts.way(10))]
    facts = drafts.day(
        stages,
        [drafts.beat("show", 0, 60, {"dough": 1, "roll": 1}, {})],
        [drafts.run("take", "13:00")],
        kitchen={"crew": [drafts.cook("ada", ("09:00", "12:00"))]},
    )
    draft = drafts.Draft(facts)
    draft.batch("b1", "loaf/dough", "d1", ("11:05", "11:45", "ada")).use("take/show/dough", "d1")
    draft.batch("b2", "loaf/roll", "r1", ("11:46", "11:56", "ada")).use("take/show/roll", "r1")
    assert draft.broken() == set()
    plan, told = Plan.model_validate(draft.document()), log(("started", "11:30", {"batch": "b1"}))
    mended = replan(draft.day, plan, told, drafts.at("11:30"), mend)
    assert audit(mended.day, mended.plan, told, drafts.at("11:30")) == []
    assert mended.plan.objective.unmet == 1
