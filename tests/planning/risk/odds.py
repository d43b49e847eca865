"""Closed forms for what a play draws, from scipy: one length, sums of lengths, a wait between.

Source: the lognormal of mean 1 and standard deviation s has the logarithm's variance ln(1 + s²)
and its mean -ln(1 + s²) ÷ 2; scipy.stats.lognorm is told both. Sums are convolved numerically.
"""

from math import exp, log, sqrt
from typing import Any

import numpy as np
from scipy.integrate import quad
from scipy.stats import lognorm

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.risk.chances import risk_of
from app.planning.risk.found import Risk, UseChance
from tests.planning.drafts import Draft

PLAYS = 40_000
SIGMAS = 4.5
STEP_MIN = 0.02


def length(minutes: float, spread: float) -> Any:
    """Return the distribution of a phase's length, planned to last so many minutes."""
    variance = log(1 + spread**2)
    return lognorm(s=sqrt(variance), scale=minutes * exp(-variance / 2))


def sum_within(lengths_min: tuple[float, ...], minutes: float, spread: float) -> float:
    """Return the chance that phases one after the other take at most so many minutes."""
    edges = np.arange(0, 2 * minutes, STEP_MIN)
    masses = [np.diff(length(each, spread).cdf(edges)) for each in lengths_min]
    whole = masses[0]
    for mass in masses[1:]:
        whole = np.convolve(whole, mass)[: len(edges)]
    # A sum of cells lies in the middle of what it may be: half a cell a length.
    within = np.arange(len(whole)) * STEP_MIN + len(lengths_min) * STEP_MIN / 2
    return float(whole[within <= minutes].sum())


def chain_within(first: float, gap_min: float, then: float, minutes: float, spread: float) -> float:
    """Return the chance that two lengths end in time, the second not before a minute.

    Parameters
    ----------
    first, then
        The planned lengths.
    gap_min
        When the second is planned to start, from the start of the first.
    minutes
        When it has to be over, from the start of the first.
    """
    one, other = length(first, spread), length(then, spread)
    punctual = one.cdf(gap_min) * other.cdf(minutes - gap_min)
    late, _ = quad(lambda x: one.pdf(x) * other.cdf(minutes - x), gap_min, minutes)
    return float(punctual + late)


def played(draft: Draft, spread: float, plays: int = PLAYS, seed: int = 1) -> Risk:
    """Return the risk of a draft that keeps every rule, at a spread."""
    assert draft.broken() == set()
    return risk_of(spreading(draft.day, spread), Plan.model_validate(draft.document()), plays, seed)


def spreading(day: Day, spread: float) -> Day:
    """Return a day whose lengths vary by `spread`."""
    return day.model_copy(update={"policy": day.policy.model_copy(update={"spread": spread})})


def hour(minute: int) -> str:
    """Return `hh:mm` of a minute of the day."""
    return f"{minute // 60:02d}:{minute % 60:02d}"


def use_of(risk: Risk, key: str) -> UseChance:
    """Return how surely the need `run/beat/stage` is met."""
    return next(use for use in risk.uses if "/".join(use.key) == key)


def agrees(use: UseChance, chance: float) -> bool:
    """Tell whether a share of the plays is that chance, within what the dice allow."""
    error = sqrt(chance * (1 - chance) / PLAYS)
    return abs(use.chance - chance) <= SIGMAS * error + 1e-4
