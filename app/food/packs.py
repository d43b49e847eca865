"""Packs: which of them, and how many of each, hold what is needed for the least money."""

from collections.abc import Sequence
from fractions import Fraction
from functools import reduce
from math import gcd
from typing import NamedTuple

from app.food.measures import Quantity, converted

# Far more than any real set of packs takes; whoever sells by the grain gets the best found by then.
MOST_STEPS = 200_000
Goal = tuple[Fraction, int, int]


class Pack(NamedTuple):
    """What a pack holds, and what it costs if somebody has said so."""

    holds: Quantity
    price: Fraction | None = None


def packs_for(needed: Quantity, packs: Sequence[Pack]) -> tuple[int, ...]:
    """Return how many of each pack to buy, so that together they hold what is needed.

    The cheapest set; of several the one with the least left over, then with the fewest packs. Where
    some packs have a price, those without one are left aside.

    Parameters
    ----------
    packs
        At least one.

    Raises
    ------
    NotAlike
        If a pack is measured in something else.
    ValueError
        If nothing is in a pack.
    """
    sizes = [converted(each.holds, needed.unit).number for each in packs]
    if any(size <= 0 for size in sizes):
        raise ValueError("A pack holds something.")
    is_priced = any(each.price is not None for each in packs)
    known = [n for n, each in enumerate(packs) if each.price is not None or not is_priced]
    found = _Cover([sizes[n] for n in known], [packs[n].price or Fraction(0) for n in known])
    counts = dict(zip(known, found.counts(needed.number), strict=True))
    return tuple(counts.get(n, 0) for n in range(len(packs)))


class _Cover:
    """Looks through the sets of packs, the best value first, and leaves what cannot be better.

    Sizes are whole multiples of their common measure, so that what is needed may be rounded up to
    one as well.
    """

    def __init__(self, sizes: Sequence[Fraction], prices: Sequence[Fraction]) -> None:
        self.measure = _common(sizes)
        whole = [int(size / self.measure) for size in sizes]
        self.order = sorted(range(len(sizes)), key=lambda n: (prices[n] / whole[n], -whole[n]))
        self.sizes = [whole[n] for n in self.order]
        self.prices = [prices[n] for n in self.order]
        self.common = [reduce(gcd, self.sizes[n:]) for n in range(len(self.sizes))]
        self.largest = [max(self.sizes[n:]) for n in range(len(self.sizes))]

    def counts(self, needed: Fraction) -> list[int]:
        """Return how many of each, in the order in which they were given."""
        units = max(0, -((-needed) // self.measure))
        outright = self._outright(units)
        best = self._best(units - outright * self.sizes[0])
        best[0] += outright
        found = [0] * len(best)
        for place, count in zip(self.order, best, strict=True):
            found[place] = count
        return found

    def _outright(self, needed: int) -> int:
        """Return how many packs of the best value are surely bought.

        Of the others fewer are bought than the best holds common measures: some of any that many
        add up to whole packs of the best, which cost no more (pigeonhole).
        """
        others = self.sizes[1:]
        most = self.sizes[0] // self.common[0] * max(others, default=0)
        return max(0, (needed - most) // self.sizes[0])

    def _best(self, needed: int) -> list[int]:
        best: Goal | None = None
        chosen = [0] * len(self.sizes)
        seen: dict[tuple[int, int], tuple[Fraction, int]] = {}
        waiting = [(0, max(0, needed), Fraction(0), tuple(chosen))]
        for _ in range(MOST_STEPS):
            if not waiting:
                break
            n, rest, cost, counts = waiting.pop()
            if rest <= 0:
                goal = (cost, -rest, sum(counts))
                if best is None or goal < best:
                    best, chosen = goal, list(counts)
                continue
            spent = (cost, sum(counts))
            if best is not None and self._least(n, rest, spent) >= best:
                continue
            if (n, rest) in seen and seen[n, rest] <= spent:
                continue
            seen[n, rest] = spent
            if n + 1 < len(self.sizes):
                waiting.append((n + 1, rest, cost, counts))
            more = (*counts[:n], counts[n] + 1, *counts[n + 1 :])
            waiting.append((n, rest - self.sizes[n], cost + self.prices[n], more))
        return chosen

    def _least(self, n: int, rest: int, spent: tuple[Fraction, int]) -> Goal:
        """Return what no set of the packs from the n-th on can undercut."""
        amount = -(-rest // self.common[n]) * self.common[n]
        cost = spent[0] + amount * self.prices[n] / self.sizes[n]
        return cost, amount - rest, spent[1] - (-rest // self.largest[n])


def _common(sizes: Sequence[Fraction]) -> Fraction:
    """Return the largest measure of which every size is a whole multiple."""
    return reduce(
        lambda one, other: Fraction(
            gcd(one.numerator * other.denominator, other.numerator * one.denominator),
            one.denominator * other.denominator,
        ),
        sizes,
    )
