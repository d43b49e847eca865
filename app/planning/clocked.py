"""A model of pools with their minutes: each pool is staged at one, at which all is possible.

It leaves out what several minutes of one pool would allow, so that it proves nothing; what it
finds is a plan.
"""

from ortools.sat.python import cp_model

from app.planning.model.sheet import Expr, total
from app.planning.needs import Use
from app.planning.pooled import Flow, Pooled, can_wait
from app.planning.pools import Pool, Source


def clock(model: Pooled, goal: Expr, most: int) -> None:
    """Add to a model the minutes of its pools.

    Parameters
    ----------
    model
        A model whose goal was made as small as can be.
    goal, most
        The goal, and what it is to be at most; nothing is to be made small any more.
    """
    _Clocked(model).add()
    model.model.add(goal <= most)
    model.model.clear_objective()  # type: ignore[no-untyped-call]


class _Clocked:
    """One model that gets minutes; each batch of a pool lasts from its least to its most."""

    def __init__(self, model: Pooled) -> None:
        self.of, self.model, self.pools = model, model.model, model.pools
        self.staged = {pool: self._minute(pool) for pool in model.makes}

    def add(self) -> None:
        """Add the minutes and what ties them."""
        for flow in self.of.flows:
            if isinstance(flow.source, Pool) or flow.pool is not None:
                self._takes_in_time(flow)
        for (source, index), idle in self.of.idle.items():
            use = self.pools.by_index[index]
            if isinstance(source, Pool):
                some = self._some(total([idle, self.of.later[source, index]]), 2 * use.backups)
                self._is_fresh(source, use, some)
            self._waits(source, use)

    def _minute(self, pool: Pool) -> cp_model.IntVar:
        first = pool.sizes.method.starts[0][0] + pool.sizes.most_min
        return self.model.new_int_var(min(first, pool.staged), pool.staged, "")

    def _some(self, amount: Expr, most: int) -> cp_model.IntVar:
        some = self.model.new_bool_var("")
        self.model.add(amount <= most * some)
        return some

    def _takes_in_time(self, flow: Flow) -> None:
        source, after, pool = flow.source, flow.after, flow.pool
        making = self.pools.scope.makings[source.stage]
        some = self._some(flow.amount, source.count)
        if flow.use is not None and isinstance(source, Pool):
            self._is_fresh(source, flow.use, some)
        if pool is None:
            return
        staged = self.staged[source] if isinstance(source, Pool) else source.staged
        ready = after.back if after else staged if isinstance(source, Pool) else source.back
        taken = self.staged[pool]
        first, last = taken - pool.sizes.most_min, taken - pool.sizes.least_min
        self.model.add(ready + making.slack_min <= first).only_enforce_if(some)
        self.model.add(last <= staged + making.stage.keeps_min).only_enforce_if(some)

    def _is_fresh(self, pool: Pool, use: Use, some: cp_model.IntVar) -> None:
        staged = self.staged[pool]
        self.model.add(staged >= use.start - use.oldest_min).only_enforce_if(some)

    def _waits(self, source: Source, use: Use) -> None:
        """What stands by a use and goes into a pool later does not start before."""
        kept: list[Expr] = []
        for flow in self.of.fresh[source]:
            if not can_wait(flow, use):
                continue
            if flow.pool is None:
                kept.append(flow.amount)
                continue
            waiting = self.model.new_int_var(0, source.count, "")
            self.model.add(waiting <= flow.amount)
            starts = self.staged[flow.pool] - flow.pool.sizes.most_min
            some = self._some(waiting, source.count)
            self.model.add(starts > use.start).only_enforce_if(some)
            kept.append(waiting)
        self.model.add(self.of.later[source, use.index] <= total(kept))
