"""Pools that need not be counted, because another pool of the same stage does all that they do.

In a kitchen without limits one early pool mostly serves every later run as well; what is left are
the pools that differ: those that can take what a beat left, or whose copies would not keep.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator

from app.planning.needs import StageKey, Use
from app.planning.pools import Pool, Pools
from app.planning.sizes import Sizes


def thin(pools: Pools) -> None:
    """Leave out pools that are not needed.

    Parameters
    ----------
    pools
        All pools of a day. What they cost at least stays what it was.
    """
    order = list(pools.of)
    while True:
        before = pools.count
        deeds = _Deeds(pools)
        for key in order:
            idle = _idle(pools.of[key], deeds)
            pools.of[key] = [pool for pool in pools.of[key] if pool not in idle]
            deeds.leave_out(key, idle)
        if pools.count == before:
            return
        order.reverse()


def _idle(some: list[Pool], deeds: "_Deeds") -> set[Pool]:
    """Return pools of a stage of which another that stays does all, or that can do nothing."""
    idle: set[Pool] = set()
    told = [(pool, *deeds.of(pool)) for pool in some]
    room = max((takes.bit_length() for _, _, takes in told), default=0)
    doing = [(pool, gives << room | takes) for pool, gives, takes in told if gives]
    idle |= {pool for pool, gives, _ in told if not gives}
    doing.sort(key=lambda each: (-each[1].bit_count(), -each[0].staged))
    kept: list[tuple[Pool, int]] = []
    for pool, deed in doing:
        for place, (able, more) in enumerate(kept):
            if deed | more == more and able.sizes.does_all_of(pool.sizes):
                idle.add(pool)
                # Who does all of one mostly does all of the next.
                kept.insert(0, kept.pop(place))
                break
        else:
            kept.append((pool, deed))
    return idle


class _Group:
    """Pools of one stage that differ only by their span, in order; each has a bit of its own."""

    def __init__(self, pools: list[Pool], first_bit: int) -> None:
        self.pools, self.first_bit = pools, first_bit
        self.there = self.bits(0, len(pools))
        self.stage, self.sizes, self.shown = pools[0].stage, pools[0].sizes, pools[0].shown
        self.after = [pool.after for pool in pools]
        self.staged = [pool.staged for pool in pools]
        self.first_starts = [pool.first_start for pool in pools]
        self.last_starts = [pool.last_start for pool in pools]

    def bits(self, first: int, end: int) -> int:
        """Return the bits of the pools from one place up to another."""
        return 0 if first >= end else ((1 << end - first) - 1) << (self.first_bit + first)

    def starting(self, first: int, last: int) -> int:
        """Return the bits of those that can start between two minutes."""
        return self.bits(
            bisect_left(self.last_starts, first), bisect_right(self.first_starts, last)
        )

    def reaching(self, use: Use) -> int:
        """Return the bits of those whose copies can be at a use."""
        return sum(
            1 << (self.first_bit + place)
            for place, pool in enumerate(self.pools)
            if use.index in pool.reached
        )


class _Deeds:
    """What each pool can do, as bits: go to uses, stand by, feed; take from, wait to take.

    What differs only by span can be done by neighbours, so that a search finds where it begins and
    ends.
    """

    def __init__(self, pools: Pools) -> None:
        self.pools = pools
        self.groups: dict[StageKey, list[_Group]] = {}
        self.width = 0
        for key, some in pools.of.items():
            self.groups[key] = list(self._grouped(some))
        self.givers = {
            key: [use for use in uses if use.hands_back and pools.reuse]
            for key, uses in pools.uses.items()
        }
        self.takers = {
            (key, shown): list(self._takers(key, shown))
            for key in pools.of
            for shown in (False, True)
        }
        self.reaching = {
            (group, use.index): group.reaching(use)
            for key, groups in self.groups.items()
            for group in groups
            for use in self.givers[key]
        }

    def leave_out(self, key: StageKey, idle: set[Pool]) -> None:
        """Take it that pools of a stage are not there any more."""
        for group in self.groups[key]:
            for place, pool in enumerate(group.pools):
                if pool in idle:
                    group.there &= ~(1 << (group.first_bit + place))

    def of(self, pool: Pool) -> tuple[int, int]:
        """Return what a pool can give and what it can take."""
        return self._gives(pool), self._takes(pool)

    def _grouped(self, some: list[Pool]) -> Iterator[_Group]:
        alike: dict[tuple[Sizes, bool], list[Pool]] = {}
        for pool in some:
            alike.setdefault((pool.sizes, pool.shown), []).append(pool)
        for pools in alike.values():
            yield _Group(pools, self.width)
            self.width += len(pools)

    def _takers(self, key: StageKey, shown: bool) -> Iterator[_Group]:
        for consumer in self.pools.scope.consumers[key]:
            is_strict = shown and consumer in self.pools.shy
            for group in self.groups[consumer]:
                if group.sizes.takes(key) and not (is_strict and not group.shown):
                    yield group

    def _gives(self, pool: Pool) -> int:
        making = self.pools.scope.makings[pool.stage]
        last = pool.staged + making.stage.keeps_min
        ready = pool.after + 1 + making.slack_min
        gives = pool.does << self.width
        for group in self.takers[pool.stage, pool.shown]:
            gives |= group.starting(ready, last)
        for after in self.givers[pool.stage]:
            gives <<= self.width
            if after.index in pool.reached:
                for group in self.takers[pool.stage, True]:
                    gives |= group.starting(after.back + making.slack_min, last)
        return gives

    def _takes(self, pool: Pool) -> int:
        takes = 0
        for stage, _ in pool.sizes.method.takes:
            for use in self.pools.uses[stage]:
                takes = takes << 1 | (use.backups > 0 and pool.last_start > use.start)
            for source in self.pools.fixed[stage]:
                for after in (None, *self.givers[stage]):
                    takes = takes << 1 | self.pools.feeds(source, pool, after)
            takes = self._takes_made(takes, pool, stage)
        return takes

    def _takes_made(self, takes: int, pool: Pool, stage: StageKey) -> int:
        """Add which pools of a stage it can take from, fresh and after each use."""
        making = self.pools.scope.makings[stage]
        slack_min, keeps_min = making.slack_min, making.stage.keeps_min
        is_strict = pool.stage in self.pools.shy and not pool.shown
        groups = [group for group in self.groups[stage] if not (is_strict and group.shown)]
        takes <<= self.width
        for group in groups:
            end = bisect_left(group.after, pool.last_start - slack_min)
            first = bisect_left(group.staged, pool.first_start - keeps_min)
            takes |= group.bits(first, end) & group.there
        for after in self.givers[stage]:
            takes <<= self.width
            ready = after.back + slack_min
            if is_strict or ready > pool.last_start:
                continue
            soonest = max(pool.first_start, ready) - keeps_min
            for group in groups:
                fresh = group.bits(bisect_left(group.staged, soonest), len(group.pools))
                takes |= fresh & group.there & self.reaching[group, after.index]
        return takes
