"""What is under way, against closed forms: how long it lasts on, as it is not over yet."""

from math import erf, exp, log, sqrt

import pytest
from scipy.stats import norm

from tests.planning.risk.moments import (
    SHOWN,
    Told,
    hours,
    is_share,
    one_dough,
    risk_at,
)
from tests.planning.risk.odds import hour, length, sum_within, use_of


def within(minutes: float, mean_min: float, spread: float) -> float:
    """Return the chance that a phase takes at most so long."""
    return (1 + erf(_sigmas(minutes, mean_min, spread) / sqrt(2))) / 2


def _sigmas(minutes: float, mean_min: float, spread: float) -> float:
    variance = log(1 + spread**2)
    return (log(minutes / mean_min) + variance / 2) / sqrt(variance)


@pytest.mark.parametrize("spread", [0.1, 0.2, 0.6])
@pytest.mark.parametrize("lasted_min", [1, 45, 61, 74])
def test_a_batch_under_way_is_ready_as_often_as_what_is_left_of_its_length(
    lasted_min: int, spread: float
) -> None:
    """An hour with a quarter more until its use: (F(due) - F(t)) / (1 - F(t)) after t minutes."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    started = ("started", "10:45", {"batch": "b1"})
    risk = risk_at(draft, hour(645 + lasted_min), started, spread=spread)
    before, due = within(lasted_min, 60, spread), within(75, 60, spread)
    assert is_share(use_of(risk, SHOWN).chance, (due - before) / (1 - before))


@pytest.mark.parametrize("phases", [(60, 10), (30, 30), (10, 60), (20, 30, 20), (5, 10, 25, 30)])
@pytest.mark.parametrize("lasted_min", [20, 65, 78])
def test_phases_under_way_are_over_as_often_as_what_is_left_of_their_sum(
    phases: tuple[int, ...], lasted_min: int
) -> None:
    """Nobody ticks a phase: all that is known is that the batch is not staged yet."""
    draft = one_dough(*phases).batch("b1", "loaf/dough", "d1", *hours(*phases)).use(SHOWN, "d1")
    starts = 710 - 70
    risk = risk_at(draft, hour(starts + lasted_min), ("started", hour(starts), {"batch": "b1"}))
    before, due = (sum_within(phases, each, 0.2) for each in (lasted_min, 80))
    chance = (due - before) / (1 - before)
    assert is_share(use_of(risk, SHOWN).chance, chance)


@pytest.mark.parametrize("spread", [0.03, 0.2])
def test_what_should_long_be_staged_is_not_staged_before_now(spread: float) -> None:
    """Ten hours for one, far out where the chance of each such length is next to nothing."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    started = ("started", "07:00", {"batch": "b1"})
    moved = ("moved", "11:50", {"run": "t1", "starts": "17:02"})
    use = use_of(risk_at(draft, "17:00", started, moved, spread=spread), SHOWN)
    logs = [norm.logsf(_sigmas(each, 60, spread)) for each in (600, 602)]
    assert abs(use.chance - (1 - exp(logs[1] - logs[0]))) < 0.005


def test_a_length_that_does_not_vary_is_over_when_it_is_over() -> None:
    """With no spread: ten minutes late is just in time, and late where it is not staged by then."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    started = ("started", "11:00", {"batch": "b1"})
    assert use_of(risk_at(draft, "11:59", started, spread=0, plays=10), SHOWN).chance == 1
    late = ("started", "11:05", {"batch": "b1"})
    assert use_of(risk_at(draft, "11:59", late, spread=0, plays=10), SHOWN).late == 1


def test_who_expects_it_later_is_heard() -> None:
    """Half an hour that is said to take an hour is played as an hour."""
    draft = one_dough(30).batch("b1", "loaf/dough", "d1", *hours(30)).use(SHOWN, "d1")
    begun: list[Told] = [("started", "11:20", {"batch": "b1"})]
    begun.append(("expected", "11:30", {"batch": "b1", "ends": "12:20"}))
    before, due = within(10, 60, 0.2), within(40, 60, 0.2)
    use = use_of(risk_at(draft, "11:30", *begun), SHOWN)
    assert is_share(use.chance, (due - before) / (1 - before))


def test_what_has_not_begun_starts_no_earlier_than_now() -> None:
    """An hour that should have begun, of which nobody spoke: it is told, and 65 min are left."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    risk = risk_at(draft, "10:55")
    assert is_share(use_of(risk, SHOWN).chance, float(length(60, 0.2).cdf(65)))
    assert risk.so_far is not None
    assert risk.so_far.not_begun == ("b1",)
