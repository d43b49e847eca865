"""Lengths of work that goes on: lognormals on the condition that it is not over yet.

The luck of a length is kept: a long one stays long among those that are still possible, so that
the same seed compares plans with the same luck, and nothing is drawn again until it fits.
"""

from functools import cache
from math import erfc, exp, log, log1p, pi, sqrt

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
LOWEST, FAR, STEP = -9.0, 30.0, 0.005
COARSE = 0.02


def log_above(z: Floats) -> Floats:
    """Return the logarithm of the chance that a standard normal is above each z.

    Source
    ------
    ½ erfc(z ÷ √2); from z = 30 on the first terms of its expansion, exact to 2 in a million.
    """
    grid, logs = _table()
    far = np.maximum(z, FAR)
    tail = -(far**2) / 2 - np.log(far * sqrt(2 * pi)) - 1 / far**2
    return np.where(z < FAR, np.interp(z, grid, logs), tail)


def above(logs: Floats) -> Floats:
    """Return the z above which a standard normal is with each chance, told by its logarithm."""
    grid, known = _table()
    near = np.interp(-logs, -known, grid)
    # Beyond the table -z²/2 - ln z is nearly all of it.
    further = 2 * np.maximum(known[-1] - logs, 0)
    first = np.sqrt(FAR**2 + further)
    far = np.sqrt(FAR**2 + np.maximum(further - 2 * np.log(first / FAR), 0))
    return np.where(logs >= known[-1], near, far)


@cache
def _table() -> tuple[Floats, Floats]:
    grid = np.arange(LOWEST, FAR + STEP / 2, STEP)
    logs = [
        log1p(-erfc(-z / sqrt(2)) / 2) if z < 0 else log(erfc(z / sqrt(2)) / 2)
        for z in map(float, grid)
    ]
    return grid, np.array(logs)


class Lognormal:
    """A length of a mean in minutes and a standard deviation as a share of it, above 0."""

    def __init__(self, mean_min: float, spread: float) -> None:
        self.variance = log(1 + spread**2)
        self.sigma, self.median_min = sqrt(self.variance), mean_min * exp(-self.variance / 2)

    def z(self, minutes: Floats) -> Floats:
        """Return how far up each length lies: in standard deviations of its logarithm."""
        positive = np.maximum(minutes, 1e-9 * self.median_min)
        return np.log(positive / self.median_min) / self.sigma

    def minutes(self, z: Floats) -> Floats:
        """Return the length that lies so far up."""
        return self.median_min * np.exp(self.sigma * z)


def sum_of(lengths_min: tuple[float, ...], spread: float) -> Lognormal | None:
    """Return nearly the sum of lengths: the lognormal of the same mean and variance."""
    mean = sum(lengths_min)
    if mean == 0:
        return None
    return Lognormal(mean, spread * sqrt(sum(each**2 for each in lengths_min)) / mean)


def last(length: Lognormal, z: Floats, least_min: Floats) -> Floats:
    """Return how long the last phase takes, which takes more than so many minutes.

    Parameters
    ----------
    length
        How long it takes if nothing is known.
    z
        The luck of each play: how far up its length would lie.
    least_min
        How long it has lasted already, in each play; 0 or less: it has not begun.
    """
    least = length.z(least_min)
    beyond = np.maximum(above(log_above(least) + log_above(z)), least)
    return length.minutes(np.where(least_min > 0, beyond, z))


def earlier(length: Lognormal, rest: Lognormal, z: Floats, least_min: Floats) -> Floats:
    """Return how long a phase takes that, with those after it, takes more than so many minutes.

    Parameters
    ----------
    length, z, least_min
        As for `last`; `least_min` counts from its start, to the whole minute.
    rest
        How long those after it take.
    """
    told, row = np.unique(np.rint(np.maximum(least_min, 0)), return_inverse=True)
    grid = np.arange(-8.0, 12.0, COARSE)
    left = told[:, None] - length.minutes(grid)
    logs = np.where(left > 0, log_above(rest.z(left)), 0) - grid**2 / 2
    weights = np.exp(logs - logs.max(axis=1, keepdims=True))
    shares = np.cumsum(weights, axis=1)
    weights, shares = weights / shares[:, -1:], shares / shares[:, -1:]
    # Each row counts from its number on, so that all are one row in which to look up.
    luck = np.minimum(-np.expm1(log_above(z)), 1 - 1e-12)
    cell = np.searchsorted((shares + np.arange(len(told))[:, None]).ravel(), luck + row)
    column = np.minimum(cell - row * len(grid), len(grid) - 1)
    short = (shares[row, column] - luck) / np.maximum(weights[row, column], 1e-300)
    inside = grid[column] + COARSE * (0.5 - np.clip(short, 0, 1))
    return length.minutes(np.where(least_min > 0, inside, z))
