"""Which sizes of batches of one way need not be told apart where hands and items do not matter."""

from collections.abc import Iterator, Set
from dataclasses import dataclass
from itertools import pairwise

from app.planning.needs import StageKey
from app.planning.scope import Method


@dataclass(frozen=True, eq=False)
class Sizes:
    """The sizes of batches of one way that a pool does not tell apart, in good copies.

    Where nothing is lost a batch can be taken apart into batches of one set each, and `by_sets`
    counts these. A batch lasts at least `least_min`, at most `most_min`, and `stretch_min` where it
    is made instead of several, because it lasts longer.
    """

    method: Method
    goods: tuple[int, ...]
    by_sets: bool
    least_min: int
    most_min: int
    stretch_min: int

    def length_min(self, good: int) -> int:
        """Return the minutes of a batch of so many good copies."""
        return self.method.way.length_min(self.method.started[good])

    def takes(self, stage: StageKey) -> bool:
        """Tell whether the way takes copies of a stage."""
        return any(taken == stage for taken, _ in self.method.takes)

    def does_all_of(self, other: "Sizes") -> bool:
        """Tell whether what the other makes can be made here, at no more cost."""
        mine, its = self.method, other.method
        if mine.way.id != its.way.id:
            same = (mine.takes, mine.yields, mine.loss) == (its.takes, its.yields, its.loss)
            if not same or mine.cost > its.cost:
                return False
        if set(self.goods) >= set(other.goods):
            return True
        if mine.loss:
            return False
        if self.by_sets:
            return self.goods[-1] >= min(mine.yields, other.goods[-1])
        least = self.goods[0]
        return all(
            good % least == 0 and good // least * mine.sets(least) <= its.sets(good)
            for good in other.goods
        )


def sizes_of(method: Method, most: int, cuts: Set[int]) -> Iterator[Sizes]:
    """Yield the sizes of batches of a way that are told apart.

    Parameters
    ----------
    method
        The way.
    most
        The most good copies that could be of use.
    cuts
        Sizes that are to be told apart from all others, in good copies.
    """
    largest = min(method.good_max, most)
    one_set = largest if method.loss else min(method.yields, largest)
    ends = {each for cut in cuts for each in (cut - 1, cut) if 0 < each < largest}
    ranges = list(pairwise(sorted({0, *ends, largest}))) if cuts else [(0, one_set)]
    for before, last in ranges:
        least, longest, stretch = (
            method.way.length_min(method.started[good])
            for good in (before + 1, last, last if cuts else largest)
        )
        by_sets = not method.loss and before == 0 and last <= method.yields
        yield Sizes(method, tuple(range(before + 1, last + 1)), by_sets, least, longest, stretch)
