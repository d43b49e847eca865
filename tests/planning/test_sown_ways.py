"""Days of a few copies that catch what a bug sown into ways, shifts and goals would change."""

import pytest

from tests.planning.drafts import Facts, at, beat, cook, day, run, stage, way
from tests.planning.planned import figures


def own(**rest: object) -> Facts:
    """Return the simple way with something of its own."""
    return {**way(), **rest}


def loaves(bread: Facts, count: int) -> Facts:
    """Return a day on which a take shows so many loaves, of dough where nothing else is told."""
    return day(
        [stage("dough"), bread], [beat("show", 0, 60, {"bread": count}, {})], [run("take", "12:00")]
    )


@pytest.mark.parametrize(("told", "copies"), [({}, 4), ({"from": []}, 2)])
def test_a_way_has_inputs_of_its_own(told: Facts, copies: int) -> None:
    """Two loaves, of a dough each or of none."""
    bread = stage("bread", own(**told), **{"from": [{"stage": "dough"}]})
    assert figures(loaves(bread, 2))[:3] == (0, 0, copies)


@pytest.mark.parametrize(("told", "copies"), [({}, 6), ({"yields": 3}, 4)])
def test_a_way_has_a_yield_of_its_own(told: Facts, copies: int) -> None:
    """Three loaves, of a dough each or of one."""
    bread = stage("bread", own(**told), **{"from": [{"stage": "dough"}]})
    assert figures(loaves(bread, 3))[:3] == (0, 0, copies)


@pytest.mark.parametrize(("told", "cost"), [({}, 3), ({"cost": 2.5}, 5)])
def test_a_way_has_a_cost_of_its_own(told: Facts, cost: float) -> None:
    """Two loaves at the stage's one and a half, or at the way's two and a half."""
    bread = stage("bread", own(**told), cost=1.5)
    assert figures(loaves(bread, 2))[:3] == (0, 0, cost)


@pytest.mark.parametrize(("told", "copies"), [({}, 1), ({"loss": 0.01}, 2)])
def test_a_way_has_a_loss_of_its_own(told: Facts, copies: int) -> None:
    """One loaf, and a spare where some are lost."""
    assert figures(loaves(stage("bread", own(**told)), 1))[:3] == (0, 0, copies)


@pytest.mark.parametrize(("next_from", "unmet"), [("08:00", 0), ("08:01", 1)])
def test_work_goes_on_where_one_shift_follows_another(next_from: str, unmet: int) -> None:
    """Three hours of work from 06:00, in two shifts of two hours; a minute between is too much."""
    shifts = [[at("06:00"), at("08:00")], [at(next_from), at("10:00")]]
    facts = day(
        [stage("done", way(180))],
        [beat("show", 0, 60, {"done": 1}, {})],
        [run("take", "10:00")],
        kitchen={"crew": [{**cook(), "shifts": shifts}]},
        policy={"ready_margin_min": 0},
    )
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("prefer", "told"), [("hands", (0, 60)), ("fresh", (10, 0))])
def test_hands_come_before_waiting_but_where_freshness_is_preferred(
    prefer: str, told: tuple[int, int]
) -> None:
    """By hand until noon, or without hands in a machine that is closed from eleven."""
    phase = {"lasts_min": 10, "equipment": [{"kind": "mixer", "per_batch": 1}]}
    by_machine = {"id": "by-machine", "batch_max": 1, "phases": [phase]}
    closed = [[at("11:00"), at("13:00")]]
    mixer = {"id": "mixer", "kind": "mixer", "units": 1, "closed": closed}
    facts = day(
        [stage("done", way(), by_machine)],
        [beat("show", 0, 60, {"done": 1}, {})],
        [run("take", "12:00")],
        kitchen={"crew": [cook()], "equipment": [mixer]},
        policy={"ready_margin_min": 0, "prefer": prefer},
    )
    assert figures(facts) == (0, 0, 1, *told)
