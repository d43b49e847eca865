"""A few readings of a cooling food tell when it will be cold: Newton's law, fitted, with doubt.

T(t) = air + (start − air) · exp(−rate · t). Start, rate and air are fitted together; what is known
of the air, a thermometer's accuracy, and that a rate is positive go in as further readings, so that
two readings are enough and more make it surer.
"""

from collections.abc import Sequence

import numpy as np

from app.food.curve import Cooling, Reached
from app.food.held import Reading

# Common practice: a probe thermometer is right to within a degree, a chill's air to within two.
PROBE_C = 0.5
AIR_C = 1.0
DRAWS = 4000
SURE = 0.9
MOST_STEPS = 60
Floats = np.ndarray[tuple[int, ...], np.dtype[np.float64]]


def fitted(readings: Sequence[Reading], air_c: float, air_doubt_c: float = AIR_C) -> Cooling | None:
    """Return how a food cools by its readings; None where they do not tell.

    Parameters
    ----------
    readings
        At least two, at different minutes; the last colder than the first.
    air_c, air_doubt_c
        What is known of the air around it, and how well (one standard deviation), in °C.

    Source
    ------
    Newton's law of cooling; least squares by Gauss, Newton, Levenberg and Marquardt.
    """
    told = sorted(readings)
    if len(told) < 2 or told[-1].at <= told[0].at or told[-1].celsius >= told[0].celsius:
        return None
    minutes = np.array([each.at - told[0].at for each in told], dtype=np.float64)
    celsius = np.array([each.celsius for each in told], dtype=np.float64)
    if celsius.min() <= air_c:
        air_c = float(celsius.min()) - air_doubt_c
    first, last = celsius[0] - air_c, celsius[-1] - air_c
    rate = max(np.log(first / last) / minutes[-1], 1e-6)
    start = np.array([celsius[0], np.log(rate), air_c])
    fit = _Fit(minutes, celsius, air_c, air_doubt_c)
    best = fit.solved(start)
    doubt = fit.covariance(best)
    return Cooling(
        told[0].at,
        float(best[0]),
        float(best[2]),
        float(np.exp(best[1])),
        tuple(tuple(float(each) for each in row) for row in doubt),
    )


def reached(cooling: Cooling, celsius: float) -> Reached:
    """Return when a cooling food reaches a temperature, in minutes on the clock of its readings."""
    best = np.array([[cooling.start_c, np.log(cooling.per_min), cooling.air_c]])
    likely = _minutes_to(best, celsius)[0]
    # Seeded: the same readings tell the same every time.
    dice = np.random.default_rng(7)
    drawn = dice.multivariate_normal(best[0], np.array(cooling.doubt), size=DRAWS)
    spread = np.sort(_minutes_to(drawn, celsius))
    low = spread[int(DRAWS * (1 - SURE) / 2)]
    high = spread[int(DRAWS * (1 + SURE) / 2)]
    return Reached(celsius, *(_on_clock(cooling.at, float(each)) for each in (likely, low, high)))


def _minutes_to(curves: Floats, celsius: float) -> Floats:
    """Return after how many minutes each curve is down to a temperature; inf where never.

    Parameters
    ----------
    curves
        Rows of (start, log rate, air), shape (n, 3).
    """
    above, there = curves[:, 0] - curves[:, 2], celsius - curves[:, 2]
    is_ever = (there > 0) & (above > 0)
    share = np.where(is_ever, above, 1.0) / np.where(is_ever, there, 1.0)
    minutes: Floats = np.where(is_ever, np.log(share) / np.exp(curves[:, 1]), np.inf)
    return minutes


def _on_clock(at: int, minutes: float) -> float | None:
    return at + minutes if np.isfinite(minutes) else None


class _Fit:
    """The least squares of one cooling; parameters are (start, log rate, air)."""

    def __init__(self, minutes: Floats, celsius: Floats, air_c: float, air_doubt_c: float) -> None:
        self.minutes, self.celsius = minutes, celsius
        self.air_c, self.air_doubt_c = air_c, air_doubt_c

    def off(self, at: Floats) -> Floats:
        """Return how far each reading and the air are off, in their own doubts; shape (n + 1,)."""
        told = at[2] + (at[0] - at[2]) * np.exp(-np.exp(at[1]) * self.minutes)
        return np.append((told - self.celsius) / PROBE_C, (at[2] - self.air_c) / self.air_doubt_c)

    def slopes(self, at: Floats) -> Floats:
        """Return the derivatives of `off`, shape (n + 1, 3)."""
        rate = np.exp(at[1])
        left = np.exp(-rate * self.minutes)
        by_rate = -(at[0] - at[2]) * rate * self.minutes * left
        rows = np.column_stack([left, by_rate, 1 - left]) / PROBE_C
        return np.vstack([rows, [0, 0, 1 / self.air_doubt_c]])

    def solved(self, at: Floats) -> Floats:
        """Return the parameters that are least off, from a first guess."""
        damping = 1e-3
        cost = float(np.sum(self.off(at) ** 2))
        for _ in range(MOST_STEPS):
            slopes, off = self.slopes(at), self.off(at)
            normal = slopes.T @ slopes
            step = np.linalg.solve(normal + damping * np.diag(np.diag(normal)), -slopes.T @ off)
            tried = at + step
            then = float(np.sum(self.off(tried) ** 2))
            if then <= cost:
                is_there = cost - then < 1e-12 * (1 + cost)
                at, cost, damping = tried, then, damping / 5
                if is_there:
                    break
            else:
                damping *= 4
        return at

    def covariance(self, at: Floats) -> Floats:
        """Return how unsure the parameters are; readings that scatter more make it more."""
        slopes = self.slopes(at)
        surplus = len(self.minutes) + 1 - 3
        scatter = float(np.sum(self.off(at) ** 2)) / surplus if surplus > 0 else 1.0
        spread = np.linalg.pinv(slopes.T @ slopes) * max(1.0, scatter)
        return np.asarray(spread, dtype=np.float64)
