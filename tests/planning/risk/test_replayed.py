"""Chances, and what dies if a run takes longer, reckoned another way: by going through the plan.

The other way shares no code with `app/planning/risk`, and is slow and plain: see `replaying.py`.
"""

import random
from math import exp, log, sqrt
from pathlib import Path

import pytest

from app.exchange.dayfile import load_day, load_plan
from app.planning.auditing.ledger import Ledger
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.risk import overrun
from app.planning.risk.chances import risk_of
from app.planning.risk.outline import picture_of
from app.planning.solve import solve
from tests.planning.risk.late import late_beats
from tests.planning.risk.replaying import Replay, Work
from tests.random_days import tiny_day

SEED_DEMO = Path(__file__).parents[3] / "seed_demo"
TINY = (2, 5, 11, 17, 23, 31, 20_003, 20_011)
DAYS, PLAYS, SIGMAS = 300, 4_000, 4.5
KNOTS_MIN = (5, 10, 45)


def compare(day: Day, plan: Plan, minutes: int) -> int:
    """Compare what dies if each run takes so many minutes longer; return how much does."""
    ledger, replay = Ledger(day, plan), Replay(day, plan)
    lacking = {(each.run, each.beat, each.stage) for each in plan.unmet if each.kind == "copies"}
    told = list(overrun.overruns(ledger, picture_of(ledger)))
    for each in told:
        went = replay.gone(late_beats(day, each.run, minutes))
        fell = {
            (fall.copy_id, fall.why, "/".join(fall.use or ()) or str(fall.batch), fall.is_backup)
            for fall in each.falls
        }
        assert fell == went.fell, each.run
        assert set(each.short) == went.short - lacking, each.run
    return sum(len(each.falls) for each in told)


@pytest.mark.parametrize("seed", TINY)
def test_what_dies_on_a_tiny_day_is_what_dies_by_hand(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a few minutes more; 597 days were compared once, and 696 copies that die by it."""
    day = read_day(tiny_day(seed))
    plan = solve(day)
    for minutes in (1, 2, 4):
        monkeypatch.setattr(overrun, "LONGER_MIN", minutes)
        compare(day, plan, minutes)


def test_what_dies_in_the_examples_is_what_dies_by_hand(
    knots_day: Day, knots_plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ten minutes kill one copy of the studio's, half an hour many."""
    day = load_day((SEED_DEMO / "studio.day.json").read_bytes())
    plan = load_plan((SEED_DEMO / "studio.plan.json").read_bytes())
    died = {}
    for minutes in (10, 30):
        monkeypatch.setattr(overrun, "LONGER_MIN", minutes)
        died[minutes] = compare(day, plan, minutes)
    assert 0 < died[10] < died[30]
    for minutes in KNOTS_MIN:
        monkeypatch.setattr(overrun, "LONGER_MIN", minutes)
        compare(knots_day, knots_plan, minutes)


def test_chances_are_those_of_days_gone_through_by_hand(knots_day: Day, knots_plan: Plan) -> None:
    """Within four and a half standard errors of both, at each use."""
    spread = 0.15
    policy = knots_day.policy.model_copy(update={"spread": spread})
    day = knots_day.model_copy(update={"policy": policy})
    variance = log(1 + spread**2)
    roll, replay = random.Random(1), Replay(day, knots_plan)

    def length(_: Work) -> float:
        return exp(roll.gauss(-variance / 2, sqrt(variance)))

    went = [replay.gone(length=length) for _ in range(DAYS)]
    risk = risk_of(day, knots_plan, PLAYS)
    for use in risk.uses:
        by_hand = sum(use.key not in each.short for each in went) / DAYS
        error = sqrt(max(use.chance * (1 - use.chance), 1 / DAYS) / DAYS + use.error**2)
        assert abs(by_hand - use.chance) <= SIGMAS * error, use.key
    assert min(use.chance for use in risk.uses) < 0.95
