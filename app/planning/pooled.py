"""How many copies each pool makes, and where they go: a model that decides no minutes."""

from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from app.planning.model.sheet import Expr, total
from app.planning.needs import StageKey, Use
from app.planning.pools import Pool, Pools, Source

Backing = dict[tuple[Source, int], Expr]


@dataclass(frozen=True, eq=False)
class Flow:
    """Copies of one source that a use or a pool takes, fresh or after a use handed them back."""

    source: Source
    after: Use | None
    use: Use | None
    pool: Pool | None
    amount: cp_model.IntVar


@dataclass(frozen=True)
class Makes:
    """What a pool makes: good copies, copies started, sets of inputs, batches of each size.

    Of batches of one set each, only the sets are counted.
    """

    good: Expr
    started: Expr
    sets: Expr
    batches: dict[int, Expr] = field(default_factory=dict)


class Pooled:
    """The model of some pools.

    `idle` and `later` are how many copies of a source stand by a use: those that nothing takes,
    and those that something takes after it.

    Parameters
    ----------
    pools
        The pools.
    short, bare
        Whether uses may lack copies, and whether backups.
    """

    def __init__(self, pools: Pools, *, short: bool, bare: bool) -> None:
        self.pools = pools
        self.model = cp_model.CpModel()
        self.flows: list[Flow] = []
        self.makes: dict[Pool, Makes] = {}
        self.idle: Backing = {}
        self.later: Backing = {}
        self.lacks: dict[int, Expr] = {}
        self.unbacked: dict[int, Expr] = {}
        for pool in (pool for some in pools.of.values() for pool in some):
            self.makes[pool] = self._makes(pool)
        self.every = [source for key in pools.of for source in pools.sources(key)]
        self.fresh: dict[Source, list[Flow]] = {source: [] for source in self.every}
        for source in self.every:
            self._lay_from(source)
        self.unused = {
            source: self._count(source.count) if source.backs else 0 for source in self.every
        }
        for source in self.every:
            self._goes_one_way(source)
        self._hands_back()
        self._takes_its_sets()
        self._serves(short)
        if short:
            self._leaves_if_met()
        self._stands_by(bare)

    def _count(self, most: int) -> cp_model.IntVar:
        return self.model.new_int_var(0, most, "")

    def _makes(self, pool: Pool) -> Makes:
        method, most = pool.sizes.method, pool.count
        if pool.sizes.by_sets:
            good = self._count(most)
            if method.yields == 1:
                return Makes(good, good, good)
            sets = self._count(most)
            self.model.add(sets <= good)
            self.model.add(good <= pool.sizes.goods[-1] * sets)
            return Makes(good, good, sets)
        batches: dict[int, Expr] = {good: self._count(most // good) for good in pool.sizes.goods}
        return Makes(
            total(good * count for good, count in batches.items()),
            total(method.started[good] * count for good, count in batches.items()),
            total(method.sets(method.started[good]) * count for good, count in batches.items()),
            batches,
        )

    def _lay_from(self, source: Source) -> None:
        uses = self.pools.uses[source.stage]
        givers = [use for use in uses if use.hands_back and use.index in source.reached]
        for use in uses:
            if use.index in source.direct:
                self._lay(source, None, use)
        for giver in givers:
            for use in self.pools.follows[giver.index]:
                if use.index in source.reached:
                    self._lay(source, giver, use)
        for pool in self.pools.takers(source.stage):
            for after in (None, *givers):
                if self.pools.feeds(source, pool, after):
                    self._lay(source, after, pool)

    def _lay(self, source: Source, after: Use | None, taker: Use | Pool) -> None:
        use = taker if isinstance(taker, Use) else None
        pool = taker if isinstance(taker, Pool) else None
        most = min(
            source.count,
            source.count if use is None else use.count,
            source.count if after is None else after.hands_back,
        )
        flow = Flow(source, after, use, pool, self._count(most))
        self.flows.append(flow)
        if after is None:
            self.fresh[source].append(flow)

    def _goes_one_way(self, source: Source) -> None:
        """A copy goes to one taker first, or to none."""
        going = total([*(flow.amount for flow in self.fresh[source]), self.unused[source]])
        if isinstance(source, Pool):
            self.model.add(going == self.makes[source].good)
        else:
            self.model.add(going <= source.count)

    def _hands_back(self) -> None:
        """What goes on from a use has come there, and is no more than it hands back."""
        arrived: dict[tuple[Source, int], list[Expr]] = {}
        onward: dict[tuple[Source, int], list[Expr]] = {}
        given: dict[int, list[Expr]] = {}
        for flow in self.flows:
            if flow.use is not None:
                arrived.setdefault((flow.source, flow.use.index), []).append(flow.amount)
            if flow.after is not None:
                onward.setdefault((flow.source, flow.after.index), []).append(flow.amount)
                given.setdefault(flow.after.index, []).append(flow.amount)
        for key, going in onward.items():
            self.model.add(total(going) <= total(arrived.get(key, [])))
        for index, going in given.items():
            use = self.pools.by_index[index]
            if use.hands_back < use.count:
                self.model.add(total(going) <= use.hands_back)

    def _takes_its_sets(self) -> None:
        into: dict[tuple[Pool, StageKey], list[Expr]] = {}
        for flow in self.flows:
            if flow.pool is not None:
                into.setdefault((flow.pool, flow.source.stage), []).append(flow.amount)
        for pool, makes in self.makes.items():
            for stage, count in pool.sizes.method.takes:
                self.model.add(total(into.get((pool, stage), [])) == count * makes.sets)

    def _serves(self, short: bool) -> None:
        served: dict[int, list[Expr]] = {}
        for flow in self.flows:
            if flow.use is not None:
                served.setdefault(flow.use.index, []).append(flow.amount)
        for index, use in self.pools.by_index.items():
            self.lacks[index] = self._count(use.count) if short else 0
            self.model.add(total([*served.get(index, []), self.lacks[index]]) == use.count)

    def _leaves_if_met(self) -> None:
        """A beat that lacks anything leaves nothing new."""
        for source in self.every:
            if source.left is not None:
                met = self._count(1)
                for index, use in self.pools.by_index.items():
                    if use.at == source.left.at:
                        self.model.add(self.lacks[index] <= use.count * (1 - met))
                going = [flow.amount for flow in self.fresh[source]]
                self.model.add(total([*going, self.unused[source]]) <= source.count * met)

    def _stands_by(self, bare: bool) -> None:
        """Each use has its backups, and a copy that nothing takes stands by some use."""
        of_source: dict[Source, list[Expr]] = {}
        for index, use in self.pools.by_index.items():
            if not use.backups:
                continue
            standing: list[Expr] = []
            for source in self.pools.sources(use.stage):
                if index in source.backs:
                    idle = self._count(min(use.backups, source.count))
                    later = self._count(min(use.backups, source.count))
                    kept = [flow.amount for flow in self.fresh[source] if can_wait(flow, use)]
                    self.model.add(idle <= self.unused[source])
                    self.model.add(later <= total(kept))
                    self.idle[source, index], self.later[source, index] = idle, later
                    of_source.setdefault(source, []).append(idle)
                    standing += [idle, later]
            self.unbacked[index] = self._count(use.backups) if bare else 0
            self.model.add(total([*standing, self.unbacked[index]]) == use.backups)
        for source, idles in of_source.items():
            self.model.add(self.unused[source] <= total(idles))


def can_wait(flow: Flow, use: Use) -> bool:
    """Tell whether the copies of a flow can stand by a use before anything takes them."""
    if flow.use is not None:
        return flow.use.start > use.start
    return flow.pool is not None and flow.pool.last_start > use.start
