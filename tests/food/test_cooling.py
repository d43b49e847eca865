"""When a cooling food will be cold, against worked examples and scipy's least squares."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from app.food.cooling import AIR_C, PROBE_C, Cooling, fitted, reached
from app.food.held import Reading


def f(fahrenheit: float) -> float:
    """Return degrees Celsius."""
    return (fahrenheit - 32) / 1.8


def curve(start_c: float, air_c: float, per_min: float, minutes: list[int]) -> list[Reading]:
    """Return readings without any error."""
    return [Reading(each, air_c + (start_c - air_c) * np.exp(-per_min * each)) for each in minutes]


def found(readings: list[Reading], air_c: float) -> Cooling:
    """Return the fit; there is one."""
    cooling = fitted(readings, air_c)
    assert cooling is not None
    return cooling


def test_a_pie_in_a_cool_room() -> None:
    """165 °F in 35 °F air, 150 °F at 10 min: 70 °F after 107 min (a precalculus text, OpenStax)."""
    told = reached(found([Reading(0, f(165)), Reading(10, f(150))], f(35)), f(70))
    assert told.likely == pytest.approx(107, abs=0.5)
    assert told.earliest is not None
    assert told.earliest < 107


@pytest.mark.parametrize(("air_f", "is_in_time"), [(37.3, True), (37.4, False)])
def test_just_in_time_at_the_first_step_needs_cold_air_for_the_second(
    air_f: float, is_in_time: bool
) -> None:
    """70 °F at 2 h from 135 °F: 41 °F within 6 h only if the air is under 37.35 °F (derived)."""
    rate = np.log((135 - air_f) / (70 - air_f)) / 120
    told = reached(found(curve(f(135), f(air_f), rate, [0, 60, 120]), f(air_f)), f(41))
    assert told.likely is not None
    assert (told.likely <= 360) is is_in_time


@pytest.mark.parametrize("seed", range(5))
def test_the_fit_is_scipy_s(seed: int) -> None:
    """The same least squares: readings by the probe's doubt, the air by its own."""
    dice = np.random.default_rng(seed)
    minutes = sorted(dice.choice(np.arange(0, 180), size=5, replace=False).tolist())
    readings = [
        Reading(each.at, each.celsius + dice.normal(0, 0.4))
        for each in curve(
            dice.uniform(60, 95), dice.uniform(1, 5), dice.uniform(0.01, 0.03), minutes
        )
    ]
    if readings[-1].celsius >= readings[0].celsius:
        pytest.skip("it does not cool")
    cooling = found(readings, 3)
    at = np.array([each.at - readings[0].at for each in readings])
    seen = np.array([each.celsius for each in readings])

    def off(free: np.ndarray) -> np.ndarray:
        told = free[2] + (free[0] - free[2]) * np.exp(-np.exp(free[1]) * at)
        return np.append((told - seen) / PROBE_C, (free[2] - 3) / AIR_C)

    best = least_squares(off, [seen[0], np.log(0.02), 3], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    mine = [cooling.start_c, np.log(cooling.per_min), cooling.air_c]
    assert mine == pytest.approx(best.x.tolist(), abs=1e-4)
    spread = np.linalg.inv(best.jac.T @ best.jac)
    assert np.array(cooling.doubt)[0, 0] >= spread[0, 0] * 0.99


def test_more_readings_make_it_surer() -> None:
    two = reached(found(curve(80, 3, 0.015, [0, 15]), 3), 21)
    six = reached(found(curve(80, 3, 0.015, [0, 15, 30, 45, 60, 75]), 3), 21)
    assert two.latest is not None
    assert two.earliest is not None
    assert six.latest is not None
    assert six.earliest is not None
    assert six.latest - six.earliest < (two.latest - two.earliest) / 2


@pytest.mark.parametrize("count", [3, 5])
def test_nine_in_ten_are_within_the_span(count: int) -> None:
    """Five hundred coolings, measured with a probe that is off by half a degree."""
    dice, inside, tried = np.random.default_rng(1), 0, 0
    for _ in range(250):
        start, air, rate = dice.uniform(60, 90), dice.normal(3, AIR_C), dice.uniform(0.01, 0.025)
        minutes = [0, *sorted(dice.choice(np.arange(10, 60), size=count - 1, replace=False))]
        told = [
            Reading(int(each.at), each.celsius + dice.normal(0, PROBE_C))
            for each in curve(start, air, rate, [int(each) for each in minutes])
        ]
        when = np.log((start - air) / (21 - air)) / rate
        span = reached(found(told, 3), 21)
        tried += 1
        if span.earliest is not None and span.latest is not None:
            inside += bool(span.earliest <= when <= span.latest)
    assert 0.85 <= inside / tried <= 0.97


def test_air_that_is_too_warm_never_cools_it() -> None:
    told = reached(found(curve(60, 21, 0.02, [0, 20, 40, 60]), 21), 5)
    assert (told.likely, told.latest) == (None, None)


@pytest.mark.parametrize(
    "readings",
    [
        [],
        [Reading(0, 60)],
        [Reading(0, 60), Reading(0, 50)],
        [Reading(0, 60), Reading(10, 60)],
        [Reading(0, 60), Reading(10, 61)],
    ],
)
def test_readings_that_do_not_tell_are_no_fit(readings: list[Reading]) -> None:
    assert fitted(readings, 3) is None


def test_food_colder_than_the_air_was_said_to_be_moves_the_air() -> None:
    cooling = found([Reading(0, 40), Reading(30, 10), Reading(60, 4), Reading(90, 2.6)], 5)
    assert cooling.air_c < 4
    assert cooling.celsius(90) == pytest.approx(2.6, abs=1)
