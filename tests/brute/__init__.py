"""The best five goals of a tiny day, by trying everything: what the planner is held against.

Shares with the planner only `day.py` and `minutes.py`. Slow, and plain on purpose.
"""

from dataclasses import dataclass
from fractions import Fraction

from app.planning.day import Day
from tests.brute.search import Search, TooBig

__all__ = ["Best", "TooBig", "brute"]


@dataclass(frozen=True)
class Best:
    """The first five goals of the best plan, and one such plan in words."""

    unmet: int
    unbacked: int
    cost: Fraction
    hands_min: int
    waiting_min: int
    how: tuple[str, ...] = ()
    states: int = 0

    @property
    def goals(self) -> tuple[int, int, Fraction, int, int]:
        """Return the five figures, in the order of the plan's objective."""
        return self.unmet, self.unbacked, self.cost, self.hands_min, self.waiting_min


def brute(day: Day, limit: int = 400_000, traced: bool = False) -> Best:
    """Return the best five goals of a day.

    Parameters
    ----------
    day
        A tiny day: few batches, short windows.
    limit
        States to look at, at most.
    traced
        Whether to tell how the plan goes.

    Raises
    ------
    TooBig
        If there are more states than `limit`.
    """
    search = Search(day, limit, traced)
    goals, trace = search.best()
    told = []
    while trace is not None:
        trace, note = trace
        told.append(note)
    last = (goals[4], goals[3]) if day.policy.prefer == "fresh" else (goals[3], goals[4])
    cost = Fraction(goals[2], search.scale)
    return Best(goals[0], goals[1], cost, *last, tuple(reversed(told)), search.spent)
