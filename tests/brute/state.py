"""The states that a kitchen can be in, and ways to pick copies out of them."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from tests.brute.kitchen import Crew, Items
from tests.brute.shelves import Loc

NOWHERE: Loc = ()
NEW: Loc = (-1,)
AWAY: Loc = (-2,)
COMING: Loc = (-3,)

# stage, staged, back, touched, taken before, owes a reason, last run, left at second, origin, place
Copy = tuple[int, int, int, bool, bool, bool, int, int, int, Loc]
Pool = tuple[tuple[Copy, int], ...]
Sent = tuple[tuple[tuple[int, Copy, int], int], ...]  # use, copy, held until
Fixed = tuple[tuple[int, int, int, Loc], ...]  # until, stage, origin, place
Due = tuple[tuple[int, int, int, int, int, str], ...]  # at, until, stage, origin, count, zone
Goals = tuple[int, ...]
Trace = tuple["Trace", str] | None


@dataclass(frozen=True)
class State:
    """All that the rest of the day can depend on."""

    pool: Pool
    sent: Sent
    fixed: Fixed
    due: Due
    crew: Crew
    items: Items

    def but(self, **parts: object) -> "State":
        """Return the state with some parts exchanged."""
        return replace(self, **parts)  # type: ignore[arg-type]

    def origins(self) -> set[int]:
        """Return the numbers of the batches, stock entries and leavings that are still about."""
        return (
            {copy[8] for copy, _ in self.pool}
            | {each[0][1][8] for each in self.sent}
            | {each[2] for each in self.fixed}
            | {each[3] for each in self.due}
        )


Step = Iterator[tuple[Goals, State, str]]


def add(goals: Goals, more: Goals) -> Goals:
    """Return the sum of two sets of goals."""
    a, b, c, d, e = goals
    return (a + more[0], b + more[1], c + more[2], d + more[3], e + more[4])


def pick(pool: Pool, fits: Callable[[Copy], bool], count: int) -> Iterator[tuple[Pool, Pool]]:
    """Yield every way to take `count` copies that fit: what is taken, what stays."""
    classes = [each for each in pool if fits(each[0])]
    rest = [each for each in pool if not fits(each[0])]
    if sum(each[1] for each in classes) < count:
        return
    for taken in counts([each[1] for each in classes], count):
        picked = [(copy, n) for (copy, _), n in zip(classes, taken, strict=True) if n]
        kept = [(copy, c - n) for (copy, c), n in zip(classes, taken, strict=True) if c > n]
        yield tuple(picked), (*rest, *kept)


def counts(most: list[int], total: int | None = None) -> Iterator[tuple[int, ...]]:
    """Yield every tuple of counts up to `most`, summing to `total` where one is given."""
    if not most:
        if not total:
            yield ()
        return
    top = most[0] if total is None else min(most[0], total)
    for first in range(top + 1):
        for others in counts(most[1:], None if total is None else total - first):
            yield (first, *others)


def gathered(pool: Iterator | tuple | list) -> tuple:  # type: ignore[type-arg]
    """Return a pool with like copies counted together, in one order."""
    together: dict[object, int] = {}
    for copy, count in pool:
        together[copy] = together.get(copy, 0) + count
    return tuple(sorted(each for each in together.items() if each[1]))
