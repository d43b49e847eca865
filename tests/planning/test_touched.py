"""What an accident leaves alone of a published plan can stay, whatever days are made of."""

import random
from collections.abc import Iterator

import pytest

from app.planning.audit import audit
from app.planning.day import Day
from app.planning.frozen import frozen_of
from app.planning.needs import needs_of
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.solve import solve
from app.planning.touched import touched
from tests.random_accidents import Walk, as_it_happened
from tests.random_days import meeting, newest, tiny_day

LITTLE_WORK = 0.7
MIXED, AT_ONE_OVEN = 20, 12
PARTS = 3
LATE_MIN = (1, 3)
# What follows from the rest of the plan, and is worked out anew.
FOLLOWS = ("goals", "lineage")


def delays(day: Day, plan: Plan) -> Iterator[Walk]:
    """Yield a day on which all went as planned, until one batch takes so much longer."""
    for batch in plan.batches:
        for late_min in LATE_MIN:
            walk = Walk(day, plan, random.Random(0))
            walk.now = walk.clock.minute(batch.starts)
            walk.tell("started", batch=batch.id)
            ends = walk.clock.minute(batch.ends) + late_min
            walk.tell("expected", batch=batch.id, ends=walk.clock.text(ends))
            yield walk


def left_alone(walk: Walk) -> list[str]:
    """Return what is amiss of batches to come in demonstrations that are said to be whole."""
    state, plan = walk.state(), walk.plan
    whole = {each.id for each in state.day.demonstrations}
    whole -= touched(state, plan, frozen_of(state, plan), needs_of(state.day)).demonstrations
    to_come = {batch.id: batch.demonstration for batch in plan.batches}
    to_come = {key: owner for key, owner in to_come.items() if key not in state.begun}
    told, now = as_it_happened(walk, state), walk.clock.text(walk.now)
    return [
        str(breach)
        for breach in audit(state.day, told, walk.events, now)
        if breach.code not in FOLLOWS
        and (owners := {to_come[each] for each in breach.ids if each in to_come})
        and owners <= whole
    ]


@pytest.mark.parametrize("part", range(PARTS))
def test_a_batch_that_is_late_touches_all_that_cannot_stay_beside_it(part: int) -> None:
    """Tests every batch of tiny days: what the audit finds amiss of others is planned anew."""
    compared = 0
    for seed in [*newest(MIXED), *meeting(AT_ONE_OVEN)][part::PARTS]:
        day = read_day(tiny_day(seed))
        for walk in delays(day, solve(day, work=LITTLE_WORK)):
            assert left_alone(walk) == [], seed
            compared += 1
    assert compared > MIXED
