"""How many copies a batch starts so that enough come out well."""

from functools import lru_cache
from math import comb

TIE = 1e-9


@lru_cache(maxsize=4096)
def started_for(good: int, loss: float, confidence: float) -> int:
    """Return how many copies a batch starts that is to give `good` copies.

    Parameters
    ----------
    good
        Copies wanted, 0 or more.
    loss
        The chance that one copy is lost, in [0, 1).
    confidence
        How surely at least `good` come out, in (0, 1); a tie to 1e-9 counts.

    Returns
    -------
    int
        `good` without loss; else the smallest n > good of which at least `good` come out well
        with that confidence.

    Source
    ------
    The binomial distribution; compared with scipy.stats in tests/planning/test_spares.py.
    """
    if good == 0 or loss == 0:
        return good
    started = good + 1
    while chance_of(started, good, loss) < confidence - TIE:
        started += 1
    return started


def chance_of(started: int, good: int, loss: float) -> float:
    """Return the chance that at least `good` of `started` copies come out well."""
    lost_at_most = started - good
    return sum(
        comb(started, lost) * loss**lost * (1 - loss) ** (started - lost)
        for lost in range(lost_at_most + 1)
    )
