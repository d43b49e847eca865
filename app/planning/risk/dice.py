"""The dice: how long each phase lasts and which copies are lost, told by a seed.

The same seed gives the same day for a plan and for the same plan with a copy more, so that what
is compared has had the same luck.
"""

from math import log, sqrt
from typing import Protocol

import numpy as np

from app.planning.risk.tails import Floats, Lognormal, earlier, last, sum_of

LENGTHS, LOSSES = range(2)


class Dice(Protocol):
    """Luck for some plays at once."""

    plays: int

    def lengths(self, tasks: int) -> Floats:
        """Return what each planned length is multiplied by: a row a phase, a column a play."""
        ...

    def lasting(
        self, times: Floats, lasts_min: int, then_min: tuple[int, ...], least_min: Floats
    ) -> Floats:
        """Return how long a phase takes of a batch under way, in minutes.

        Parameters
        ----------
        times
            What its planned length would be multiplied by, were nothing known.
        lasts_min, then_min
            Its planned length, and those of the phases after it.
        least_min
            In each play, so much and more it takes with those after it.
        """
        ...

    def luck(self, lot: int, copies: int) -> Floats:
        """Return a number in [0, 1] a copy and play; a copy is lost where it is under the loss."""
        ...


class Rolled:
    """Dice of one seed.

    Parameters
    ----------
    seed
        What the result is repeated by.
    throw
        Which plays of that seed: 0 for the first few thousand, 1 for the next.
    plays
        How many.
    spread
        The standard deviation of a length, as a share of it.
    """

    def __init__(self, seed: int, throw: int, plays: int, spread: float) -> None:
        self.seed, self.throw, self.plays, self.spread = seed, throw, plays, spread

    def lengths(self, tasks: int) -> Floats:
        """Return lognormal factors of mean 1 and standard deviation `spread`."""
        # Of a lognormal with mean 1 the logarithm has variance ln(1 + spread²) and half of it,
        # negative, as its mean.
        variance = log(1 + self.spread**2)
        normal = self._generator(LENGTHS).standard_normal((tasks, self.plays))
        return np.exp(normal * sqrt(variance) - variance / 2)

    def lasting(
        self, times: Floats, lasts_min: int, then_min: tuple[int, ...], least_min: Floats
    ) -> Floats:
        """Return the length of a phase on the condition that its batch is not over too soon."""
        rest = sum_of(then_min, self.spread)
        if self.spread == 0 or lasts_min == 0:
            return _at_least(times, lasts_min, rest is None, least_min)
        length = Lognormal(lasts_min, self.spread)
        z = length.z(lasts_min * times)
        if rest is None:
            return last(length, z, least_min)
        return earlier(length, rest, z, least_min)

    def luck(self, lot: int, copies: int) -> Floats:
        """Return the luck of each copy of a batch; more copies leave that of the first as it is."""
        return self._generator(LOSSES, lot).random((copies, self.plays))

    def _generator(self, *of: int) -> np.random.Generator:
        return np.random.default_rng(np.random.SeedSequence([self.seed, self.throw, *of]))


class Certain:
    """Plays in which all lasts as planned and nothing is lost."""

    def __init__(self, plays: int) -> None:
        self.plays = plays

    def lengths(self, tasks: int) -> Floats:
        """Return 1 for each phase."""
        return np.ones((tasks, self.plays))

    def lasting(
        self, times: Floats, lasts_min: int, then_min: tuple[int, ...], least_min: Floats
    ) -> Floats:
        """Return the planned length, and longer where the batch is not over though it should be."""
        return _at_least(times, lasts_min, not any(then_min), least_min)

    def luck(self, lot: int, copies: int) -> Floats:
        """Return the best luck for each copy."""
        return np.ones((copies, self.plays))


def _at_least(times: Floats, lasts_min: int, is_last: bool, least_min: Floats) -> Floats:
    """Return a planned length; the last phase takes at least so many minutes."""
    planned = lasts_min * times
    return np.maximum(planned, least_min) if is_last else planned
