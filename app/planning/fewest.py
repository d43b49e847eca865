"""The fewest copies that a day needs in a kitchen without limits: counted in pools, then settled.

Pools (`pools.py`) leave out rules and add none, so that no plan can cost less than they say. Where
their batches find minutes (`settling.py`), or others of the same cost do (`clocked.py`), there is a
plan that costs as much. Else what stood in the way is told apart and counted again: each time fewer
things are taken to be possible that are not, until there is such a plan.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from ortools.sat.python import cp_model

from app.planning.clocked import clock
from app.planning.draft import Draft
from app.planning.model.sheet import Expr, total
from app.planning.needs import StageKey, Use
from app.planning.pooled import Flow, Pooled, can_wait
from app.planning.pools import Pool, Pools, Source, Splits
from app.planning.pouring import pour
from app.planning.scope import Scope
from app.planning.settling import Answer, Going, fuller, settle
from app.planning.thinning import thin
from app.planning.watch import never, stopped

# One lack weighs more than all that could ever be started.
A_LACK = 1_000_000
# What a pool costs before it is left out, in the unit of the solver's work.
A_POOL = 5e-6
# What may be spent on minutes for pools that are to be told apart.
IN_TIME = 0.006
SOLVED = (cp_model.OPTIMAL, cp_model.FEASIBLE)
IsOver = Callable[[], bool]


class Stopped(Exception):
    """Somebody asked to stop before the count was done."""


@dataclass(frozen=True)
class Asked:
    """What is asked of a count: in parts of 1 ÷ `scale`, whether uses may lack copies, or backups.

    `work` is how much it may take; whoever waits for it tells by `is_over` that it may stop.
    """

    scale: int
    work: float
    short: bool = False
    bare: bool = False
    is_over: IsOver = never


@dataclass(frozen=True)
class Found:
    """A plan that costs as little as any: what lacks, what it costs, the copies started."""

    lacks: int
    cost: int
    made: tuple[tuple[StageKey, int], ...]
    draft: Draft


@dataclass(frozen=True)
class Fewest:
    """What is proven of what lacks and costs, in one: what lacks weighs more.

    `found` is None where the work did not suffice for a plan that reaches it.
    """

    least: int
    found: Found | None = None


def fewest(scope: Scope, asked: Asked) -> Fewest | None:
    """Return the fewest copies by what they cost, with a plan of them.

    Parameters
    ----------
    scope
        A day in a kitchen without limits.
    asked
        What is asked of it.

    Returns
    -------
    Fewest or None
        None if it is proven that more must lack than may.

    Raises
    ------
    Stopped
        Where somebody asks for that, within watch.POLL_S.
    """
    splits, least, left = Splits(), 0, asked.work
    while left > 0:
        counting = _Counting(Pools(scope, splits), asked, left)
        if counting.status == cp_model.INFEASIBLE:
            return None
        least = max(least, counting.least)
        found = counting.found()
        if found is not None:
            return Fewest(least, found)
        left = counting.left
    return Fewest(least)


class _Counting:
    """One count: the model of some pools, made small, and what work is left."""

    def __init__(self, pools: Pools, asked: Asked, left: float) -> None:
        self.pools, self.asked = pools, asked
        self.left = left - A_POOL * pools.count
        thin(pools)
        self.model = Pooled(pools, short=asked.short, bare=asked.bare)
        self.goal = _goal(self.model, asked.scale)
        if not isinstance(self.goal, int):
            self.model.model.minimize(self.goal)
        self.solver, self.status = self._solved(self.left)
        self.least = self.goal if isinstance(self.goal, int) else self._bound()

    def found(self) -> Found | None:
        """Return a plan, if there is one; else tell apart what was taken to be possible."""
        if self.status != cp_model.OPTIMAL:
            self.left = 0
            return None
        answer = _answer(self.model, self.solver)
        settled = settle(self.pools, answer)
        if settled.splits is None:
            return self._plan(answer)
        clock(self.model, self.goal, self.least)
        self.solver, status = self._solved(min(IN_TIME, self.left))
        if status in SOLVED:
            answer = _answer(self.model, self.solver)
            if settle(self.pools, answer).splits is None:
                return self._plan(answer)
        if not self.pools.split(settled.splits):
            # Then it stays a floor: better than none, and no proof is lost.
            self.left = 0
        if self.asked.is_over():
            raise Stopped
        return None

    def _solved(self, work: float) -> tuple[cp_model.CpSolver, int]:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 2
        solver.parameters.add_lp_constraints_lazily = False
        solver.parameters.cp_model_probing_level = 0
        # What more of these finds costs more than it saves.
        solver.parameters.max_presolve_iterations = 0
        solver.parameters.symmetry_level = 0
        solver.parameters.max_deterministic_time = max(0.0, work)
        with stopped(solver, self.asked.is_over):
            status = int(solver.solve(self.model.model))
        self.left -= solver.response_proto.deterministic_time
        if status not in (cp_model.OPTIMAL, cp_model.INFEASIBLE) and self.asked.is_over():
            raise Stopped
        return solver, status

    def _bound(self) -> int:
        return max(0, int(self.solver.best_objective_bound))

    def _plan(self, answer: Answer) -> Found:
        answer = fuller(self.pools, answer)
        draft = pour(self.pools, answer, settle(self.pools, answer).minutes)
        started = dict.fromkeys(self.pools.scope.makings, 0)
        for made in draft.made:
            started[made.stage] += made.started
        lacks = total((*self.model.lacks.values(), *self.model.unbacked.values()))
        cost = _value(self.solver, _cost(self.model, self.asked.scale))
        return Found(_value(self.solver, lacks), cost, tuple(started.items()), draft)


def _goal(model: Pooled, scale: int) -> Expr:
    """Return what lacks and what it costs in one: a copy before all backups, these before cost."""
    backups = sum(use.backups for use in model.pools.by_index.values())
    lacks = total(((1 + backups) * total(model.lacks.values()), total(model.unbacked.values())))
    return total((A_LACK * scale * lacks, _cost(model, scale)))


def _cost(model: Pooled, scale: int) -> Expr:
    return total(
        int(Fraction(str(pool.sizes.method.cost)) * scale) * makes.started
        for pool, makes in model.makes.items()
    )


def _answer(model: Pooled, solver: cp_model.CpSolver) -> Answer:
    batches = {pool: _batches(model, solver, pool) for pool in model.makes}
    amounts = {flow: int(solver.value(flow.amount)) for flow in model.flows}
    going = {
        flow: Going(flow.source, flow.after, flow.use, flow.pool, copies)
        for flow, copies in amounts.items()
        if copies
    }
    answer = Answer(
        batches={pool: goods for pool, goods in batches.items() if goods},
        going=list(going.values()),
        idle={at: _value(solver, copies) for at, copies in model.idle.items()},
        later={at: _value(solver, copies) for at, copies in model.later.items()},
    )
    for (source, index), copies in answer.later.items():
        use = model.pools.by_index[index]
        answer.lasting += _lasting(model, going, source, use, copies)
    return answer


def _batches(model: Pooled, solver: cp_model.CpSolver, pool: Pool) -> list[int]:
    """Return the good copies of each batch, those of one set each as alike as can be."""
    makes = model.makes[pool]
    if makes.batches:
        counts = {good: _value(solver, count) for good, count in makes.batches.items()}
        return [good for good, count in counts.items() for _ in range(count)]
    sets = _value(solver, makes.sets)
    each, more = divmod(_value(solver, makes.good), max(1, sets))
    return [each + (place < more) for place in range(sets)]


def _lasting(
    model: Pooled, going: dict[Flow, Going], source: Source, use: Use, copies: int
) -> Iterator[tuple[Going, Use]]:
    """Yield the flows whose copies stand by a use: those that uses take later, then the latest."""
    kept = [flow for flow in model.fresh[source] if flow in going and can_wait(flow, use)]
    kept.sort(key=lambda flow: 0 if flow.pool is None else -flow.pool.last_start)
    kept.sort(key=lambda flow: flow.use is None)
    for flow in kept:
        if copies > 0:
            yield going[flow], use
        copies -= going[flow].copies


def _value(solver: cp_model.CpSolver, expr: Expr) -> int:
    return expr if isinstance(expr, int) else int(solver.value(expr))
