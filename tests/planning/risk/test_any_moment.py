"""At any minute of any day: what is over is over, and what goes as planned lacks nothing."""

import random

import numpy as np
import pytest

from app.planning.auditing.ledger import Ledger
from app.planning.day import Day
from app.planning.happened import Happened
from app.planning.plan import Plan
from app.planning.risk.chances import risk_of
from app.planning.risk.dice import Certain, Dice, Rolled
from app.planning.risk.outline import picture_of
from app.planning.risk.play import Play
from app.planning.risk.sofar import plan_so_far
from app.planning.risk.tally import Tally
from tests.random_accidents import Walk, as_planned
from tests.random_days import newest

MOST_EVENTS, PLAYS, CLOSE_MIN = 40, 20, 1e-6


def play_of(state: Happened, plan: Plan, dice: Dice) -> Play:
    """Return what is to come, played."""
    ledger = Ledger(state.day, plan_so_far(state, plan))
    play = Play(picture_of(ledger, state), dice, Tally())
    play.run()
    return play


def check_times(state: Happened, plan: Plan, play: Play) -> None:
    """Nothing that is not staged is over before now; what is staged was staged when it was."""
    base = Ledger(state.day, plan).prep_from
    for number, task in enumerate(play.picture.tasks):
        begun = state.begun.get(play.picture.lots[task.lot].id)
        ends = play.ends[number] + base
        if begun is None:
            assert (ends >= state.now - CLOSE_MIN).all()
        elif begun.is_staged:
            assert (ends <= state.now).all()
        elif task.is_last:
            assert (ends >= state.now - CLOSE_MIN).all()


def check_copies(state: Happened, play: Play) -> None:
    """What is lost or used up stands nowhere."""
    gone = {copy for copy, known in state.copies.items() if known.state in ("lost", "used")}
    kept = {play.picture.names[each.copy] for each in play.picture.kept}
    assert gone & kept == set()
    coming = {
        copy for begun in state.begun.values() for copy in begun.batch.copies if not begun.is_staged
    }
    assert coming & kept == set()
    handed_out = {
        play.picture.names[copy]
        for task in play.picture.tasks
        if task.ended is None
        for copy in play.picture.lots[task.lot].copies
    }
    assert gone & handed_out == set()


def check_needs(state: Happened, plan: Plan) -> None:
    """Each need is to come or over, once."""
    risk = risk_of(state.day, plan, PLAYS, state=state)
    assert risk.so_far is not None
    every = Ledger(state.day, plan).programme.demands
    assert sorted([*(use.key for use in risk.uses), *risk.so_far.over]) == sorted(every)
    assert all(key[:2] in state.aired for key in risk.so_far.over)


@pytest.mark.parametrize("seed", range(8))
def test_a_day_of_accidents_is_played_from_each_of_its_moments(
    seed: int, knots_day: Day, knots_plan: Plan
) -> None:
    """Nobody mends the plan meanwhile."""
    walk = Walk(knots_day, knots_plan, random.Random(seed))
    walk.now = min(walk.clock.minute(batch.starts) for batch in knots_plan.batches) - 20
    while not walk.is_over and len(walk.events) < MOST_EVENTS:
        walk.step()
        state = walk.state()
        play = play_of(state, knots_plan, Rolled(seed, 0, PLAYS, 0.3))
        check_times(state, knots_plan, play)
        check_copies(state, play)
        check_needs(state, knots_plan)


@pytest.mark.parametrize("seed", [*range(12), *newest(6)])
def test_a_day_that_goes_as_planned_lacks_only_what_its_plan_lacks(seed: int) -> None:
    """Each tick to the minute: at each minute of a tiny day, all that is to come is served."""
    for walk in as_planned(seed):
        play = play_of(walk.state(), walk.plan, Certain(1))
        needs = enumerate(play.picture.servings)
        assert [n for n, each in needs if play.tally.lacked[n] and not each.is_short] == []
        assert np.isfinite(play.ends).all()
