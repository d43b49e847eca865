"""What may happen in a minute: arrivals, sendings, batches, beats, backups, putting down."""

from collections.abc import Iterator

from tests.brute.batches import Batches
from tests.brute.beats import Beats
from tests.brute.choices import NOTHING
from tests.brute.putting import Putting
from tests.brute.state import (
    AWAY,
    COMING,
    NEW,
    NOWHERE,
    Copy,
    Goals,
    Pool,
    Sent,
    State,
    Step,
    add,
    counts,
    gathered,
    pick,
)


class Moves(Batches, Beats, Putting):
    """Every choice that a minute of a day leaves open."""

    def arrive(self, state: State, minute: int) -> Step:
        """What is staged comes to stand; what is back, and stock, stands or is left aside."""
        pool, choices = [], []
        for copy, count in state.pool:
            if copy[9] == COMING and copy[1] == minute:
                pool.append(((*copy[:9], NEW), count))
            elif copy[9] == AWAY and max(copy[2], self.facts.prep) == minute:
                choices.append((copy, count))
            else:
                pool.append((copy, count))
        for stand in counts([count for _, count in choices]):
            more = [((*copy[:9], NEW), n) for (copy, _), n in zip(choices, stand, strict=True)]
            less = [(copy, c - n) for (copy, c), n in zip(choices, stand, strict=True)]
            yield NOTHING, state.but(pool=gathered([*pool, *more, *less])), ""

    def send(self, state: State, uses: list[int]) -> Step:
        """Copies leave the kitchen for a use that is due."""
        if not uses:
            yield NOTHING, state, ""
            return
        want = self.facts.wants[uses[0]]

        def fits(copy: Copy) -> bool:
            return (
                copy[0] == want.stage
                and max(copy[1], copy[2]) <= want.due
                and want.start - copy[1] <= want.oldest
                and copy[9] != AWAY
                and not (want.untouched and copy[3])
                and (copy[6] < 0 or (self.reuse and copy[6] != want.run))
            )

        for count in range(want.count + 1):
            for taken, kept in pick(state.pool, fits, count):
                waits = self.goals(waiting=sum((want.due - copy[1]) * n for copy, n in taken))
                note = f"{self.use(uses[0])} takes {self.words(taken)}; " if taken else ""
                for held in self._held(uses[0], taken):
                    after = state.but(pool=gathered(kept), sent=gathered((*state.sent, *held)))
                    for more, last, told in self.send(after, uses[1:]):
                        yield add(waits, more), last, note + told

    def _held(self, use: int, taken: Pool) -> Iterator[Sent]:
        """Yield each choice of how long a copy on its way still stands as a backup."""
        if not taken:
            yield ()
            return
        want = self.facts.wants[use]
        (copy, count), rest = taken[0], taken[1:]
        held = {0}
        if self.facts.placed[copy[0]] and not copy[4]:
            held |= {
                other.start
                for other in self.facts.wants
                if other.stage == copy[0] and other.backups and want.due < other.start < want.start
            }
        ends = sorted(held)
        for each in counts([count] * len(ends), count):
            mine = tuple(
                ((use, copy if until else (*copy[:9], NOWHERE), until), n)
                for until, n in zip(ends, each, strict=True)
                if n
            )
            for others in self._held(use, rest):
                yield (*mine, *others)

    def back(self, state: State, minute: int, uses: list[int]) -> Step:
        """Copies that stand ready beside a use back it; what has backed may be put away."""
        for goals, pool in self._backed(state, minute, uses):
            free = [
                (copy, n)
                for copy, n in pool
                if not copy[5]
                and copy[9] not in (NOWHERE, AWAY)
                and any(self._ready(copy, use) for use in uses)
            ]
            rest = [each for each in pool if each not in free]
            for kept in counts([n for _, n in free]):
                stay = [(copy, n) for (copy, _), n in zip(free, kept, strict=True)]
                gone = [((*c[:9], AWAY), m - n) for (c, m), n in zip(free, kept, strict=True)]
                yield goals, state.but(pool=gathered([*rest, *stay, *gone])), ""

    def _backed(self, state: State, minute: int, uses: list[int]) -> Iterator[tuple[Goals, Pool]]:
        """Yield each choice of which copies that owe a reason back uses, as many as they want.

        What is on its way to a later use backs an earlier one too, as long as that lacks any: then
        it must have stood on its shelf until now.
        """
        if not uses:
            yield NOTHING, state.pool
            return
        use, want = uses[0], self.facts.wants[uses[0]]
        ready = [(c, n) for c, n in state.pool if self._ready(c, use) and c[9] != AWAY]
        coming, gone_early = self._on_its_way(state, minute, use)
        stand = coming + sum(n for _, n in ready)
        if gone_early and stand < want.backups:
            return
        lack = self.goals(unbacked=max(0, want.backups - stand))
        owing = [(copy, n) for copy, n in ready if copy[5]]
        rest = [each for each in state.pool if each not in owing]
        most = min(want.backups, sum(n for _, n in owing))
        for backing in counts([n for _, n in owing], most):
            done = [((*c[:5], False, *c[6:]), k) for (c, _), k in zip(owing, backing, strict=True)]
            left = [(c, n - k) for (c, n), k in zip(owing, backing, strict=True)]
            after = state.but(pool=gathered([*rest, *done, *left]))
            for more, pool in self._backed(after, minute, uses[1:]):
                yield add(lack, more), pool

    def _on_its_way(self, state: State, minute: int, use: int) -> tuple[int, bool]:
        """Return how many copies back a use that go to a later one, and whether any left early."""
        coming, gone_early = 0, False
        for (taker, copy, until), n in state.sent:
            later = self.facts.wants[taker]
            stands = until >= minute or later.due == minute or not self.facts.placed[copy[0]]
            if later.start > minute and self._ready(copy, use):
                coming += n if stands else 0
                gone_early |= not stands
        return coming, gone_early

    def _ready(self, copy: Copy, use: int) -> bool:
        want = self.facts.wants[use]
        return (
            copy[0] == want.stage
            and not copy[4]
            and max(copy[1], copy[2]) <= want.due
            and want.start - copy[1] <= want.oldest
            and not (want.untouched and copy[3])
            and (self.reuse or copy[6] < 0)
        )
