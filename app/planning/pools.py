"""Pools: all batches of a stage by one way whose copies are staged within one span of minutes.

In a kitchen without limits batches are as late as what they are for allows, so that they are
staged at few minutes: when a beat needs their copies, or a batch that takes them starts. The spans
of a stage end at these minutes. A batch that has to be earlier, because what it takes would not
keep, is seen when its minute is worked out (`settling.py`); then its span is split there. Nothing
that is possible is left out, so that what is proven with pools holds for any number of batches.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from app.planning.hours import last_in
from app.planning.model.serving import can_follow
from app.planning.model.touched import stages_that_matter
from app.planning.needs import Left, StageKey, Use
from app.planning.scope import Making, Scope
from app.planning.sizes import Sizes, sizes_of
from app.planning.supplies import Supply

WayKey = tuple[StageKey, str]


@dataclass(eq=False)
class Source:
    """Copies of one stage: those of a pool, of the stock, or left by a beat.

    `staged` is their minute, of a pool the last of its span, and `back` when they are there. Of
    uses, by their index: `direct` can take them first, `reached` at all, `backs` those that they
    can stand by. `does` has the three as bits.
    """

    stage: StageKey
    staged: int
    back: int
    count: int
    shown: bool
    left: Left | None = None
    found: Supply | None = None
    direct: frozenset[int] = frozenset()
    reached: frozenset[int] = frozenset()
    backs: frozenset[int] = frozenset()
    does: int = 0


@dataclass(eq=False)
class Pool(Source):
    """Batches by one way, staged after the minute `after` and until `staged`.

    Where some needs must not have been on camera, a `shown` pool is made from what has been.
    """

    sizes: Sizes = field(kw_only=True)
    after: int = field(kw_only=True)

    @property
    def first_start(self) -> int:
        """Return the first minute at which one of its batches can start."""
        return self.after + 1 - self.sizes.stretch_min

    @property
    def last_start(self) -> int:
        """Return the last minute at which one of its batches can start."""
        return self.staged - self.sizes.least_min


@dataclass
class Splits:
    """Minutes at which spans end beside those that the day tells, and sizes that are told apart."""

    minutes: dict[StageKey, set[int]] = field(default_factory=dict)
    sizes: dict[WayKey, set[int]] = field(default_factory=dict)

    def add(self, other: "Splits") -> bool:
        """Add others to them; tell whether there were any new ones."""
        before = self._count()
        for key, minutes in other.minutes.items():
            self.minutes.setdefault(key, set()).update(minutes)
        for way, sizes in other.sizes.items():
            self.sizes.setdefault(way, set()).update(sizes)
        return self._count() > before

    def _count(self) -> int:
        return sum(map(len, (*self.minutes.values(), *self.sizes.values())))


class Pools:
    """All pools of a day, and the other sources of copies, by stage."""

    def __init__(self, scope: Scope, splits: Splits) -> None:
        self.scope, self.splits = scope, splits
        self.reuse = scope.day.policy.reuse
        self.shy = stages_that_matter(scope)
        self.uses: dict[StageKey, list[Use]] = {key: [] for key in scope.makings}
        for use in scope.needs.uses:
            self.uses[use.stage].append(use)
        self.by_index = {use.index: use for use in scope.needs.uses}
        self.follows = {
            giver.index: [use for use in uses if can_follow(giver, use, self.reuse)]
            for uses in self.uses.values()
            for giver in uses
            if giver.hands_back
        }
        self.fixed = {key: list(self._fixed(key)) for key in scope.makings}
        self.shown = self._can_be_shown()
        self.told: dict[tuple[StageKey, int, bool], Pool] = {}
        self.of: dict[StageKey, list[Pool]] = {}
        self.least: dict[StageKey, set[int]] = {}
        for key in reversed(scope.inputs_first):
            self.least[key] = self._least(scope.makings[key])
            self.of[key] = list(self._pools(scope.makings[key]))

    @property
    def count(self) -> int:
        """Return how many pools there are."""
        return sum(map(len, self.of.values()))

    def sources(self, key: StageKey) -> list[Source]:
        """Return all sources of copies of a stage."""
        return [*self.fixed[key], *self.of[key]]

    def takers(self, key: StageKey) -> Iterator[Pool]:
        """Yield the pools that take copies of a stage."""
        for consumer in self.scope.consumers[key]:
            yield from (pool for pool in self.of[consumer] if pool.sizes.takes(key))

    def feeds(self, source: Source, pool: Pool, after: Use | None) -> bool:
        """Tell whether copies of a source can go into a pool, after a use where one is given."""
        if source.shown or after is not None:
            if pool.stage in self.shy and not pool.shown:
                return False
            if (source.left is not None or after is not None) and not self.reuse:
                return False
        if after is not None and after.index not in source.reached:
            return False
        ready = source.after + 1 if isinstance(source, Pool) else source.back
        if after is not None:
            ready = after.back
        making = self.scope.makings[source.stage]
        last = min(pool.last_start, source.staged + making.stage.keeps_min)
        return max(pool.first_start, ready + making.slack_min) <= last

    def split(self, more: Splits) -> bool:
        """Note what is to be told apart; tell whether any of it is new.

        Where a span is split, it is also at the minutes before which its copies would not keep.
        """
        for key, minutes in more.minutes.items():
            cut = [
                pool
                for pool in self.of[key]
                if any(pool.after < each < pool.staged for each in minutes)
            ]
            ends = {each - 1 for each in self.least[key]}
            minutes |= {each for each in ends if any(p.after < each < p.staged for p in cut)}
        return self.splits.add(more)

    def _can_be_shown(self) -> set[StageKey]:
        """Return the stages of which it matters what has been on camera, and that may have been."""
        found: set[StageKey] = set()
        for key in (each for each in self.scope.inputs_first if each in self.shy):
            takes = (each for method in self.scope.makings[key].methods for each in method.takes)
            for taken, _ in takes:
                on_camera = any(use.hands_back for use in self.uses[taken])
                if taken in found or on_camera or any(each.shown for each in self.fixed[taken]):
                    found.add(key)
        return found

    def _fixed(self, key: StageKey) -> Iterator[Source]:
        for found in self.scope.supplies:
            if found.stage == key:
                source = Source(
                    key, found.staged, found.ready, found.count, found.shown, found=found
                )
                self._tell_uses(source)
                yield source
        for left in self.scope.needs.left:
            if left.stage == key:
                source = Source(key, left.staged, left.back, left.count, True, left=left)
                self._tell_uses(source)
                yield source

    def _pools(self, making: Making) -> Iterator[Pool]:
        most = sum(call.any.copies for call in making.calls.values())
        if not making.staged or not most:
            return
        spans = list(pairwise([making.staged_from - 1, *sorted(self._ends(making))]))
        for method in making.methods:
            first, last = method.starts[0][0], method.starts[-1][1]
            cuts = self.splits.sizes.get((making.key, method.way.id), set())
            for sizes in sizes_of(method, most, cuts):
                for shown in (False, True) if making.key in self.shown else (False,):
                    for after, until in spans:
                        pool = Pool(making.key, until, until, most, shown, sizes=sizes, after=after)
                        if first <= pool.last_start and pool.first_start <= last:
                            self._tell_alike(pool)
                            yield pool

    def _ends(self, making: Making) -> set[int]:
        """Return the minutes at which spans of a stage end."""
        due = {use.due for use in self.uses[making.key]}
        for pool in self.takers(making.key):
            due |= {
                pool.staged - length_min - making.slack_min
                for length_min in (pool.sizes.least_min, pool.sizes.most_min)
            }
        ends = {last_in(making.staged, minute) for minute in due}
        ends |= self.splits.minutes.get(making.key, set())
        return {minute for minute in ends if minute >= making.staged_from}

    def _least(self, making: Making) -> set[int]:
        """Return the minutes before which copies would not keep for something."""
        least = {use.start - use.oldest_min for use in self.uses[making.key]}
        for consumer in self.scope.consumers[making.key]:
            for sizes in {pool.sizes for pool in self.of[consumer] if pool.sizes.takes(making.key)}:
                for length_min in (sizes.least_min, sizes.stretch_min):
                    before_min = length_min + making.stage.keeps_min
                    least |= {minute - before_min for minute in self.least[consumer]}
        return least

    def _tell_alike(self, pool: Pool) -> None:
        """Tell of a pool what `_tell_uses` tells of all that are staged then."""
        one = self.told.setdefault((pool.stage, pool.staged, pool.shown), pool)
        if one is pool:
            self._tell_uses(pool)
        pool.direct, pool.reached, pool.backs = one.direct, one.reached, one.backs
        pool.does = one.does

    def _tell_uses(self, source: Source) -> None:
        """Tell which uses copies can go to first, which at all, and which they can stand by."""
        uses = self.uses[source.stage]
        fresh = [use for use in uses if use.start - source.staged <= use.oldest_min]
        source.direct = frozenset(use.index for use in fresh if self._serves(source, use))
        reached, ahead = set(source.direct), list(source.direct)
        while ahead:
            for use in self.follows.get(ahead.pop(), ()):
                if use.index not in reached and use in fresh:
                    reached.add(use.index)
                    ahead.append(use.index)
        source.reached = frozenset(reached)
        source.backs = frozenset(
            use.index for use in fresh if use.backups and self._stands_by(source, use)
        )
        for use in uses:
            for told in (source.direct, source.reached, source.backs):
                source.does = source.does << 1 | (use.index in told)

    def _serves(self, source: Source, use: Use) -> bool:
        if use.untouched and source.shown:
            return False
        if source.left is not None and source.left.run == use.run:
            return source.left.end_s <= use.start_s
        return self._there(source, use)

    def _stands_by(self, source: Source, use: Use) -> bool:
        return not (use.untouched and source.shown) and self._there(source, use)

    def _there(self, source: Source, use: Use) -> bool:
        return source.back <= use.due and (source.left is None or self.reuse)
