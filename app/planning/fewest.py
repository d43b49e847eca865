"""The fewest copies that a day needs: a floor in lots, then batches with minutes that reach it.

In lots (`model/lots.py`) no minute is decided, so that no plan can cost less than they say. Whether
one costs as little is seen when single batches find minutes at which they serve all that they must.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from app.planning.calls import CallKey
from app.planning.draft import Draft, draft_solved
from app.planning.model.build import Model, Wanted, build
from app.planning.model.lots import Lot
from app.planning.model.sheet import Expr, total
from app.planning.needs import StageKey
from app.planning.scope import Scope
from app.planning.thinning import each_serving_all, thin
from app.planning.watch import never, stopped

SOLVED = (cp_model.OPTIMAL, cp_model.FEASIBLE)
# One lack weighs more than all that could ever be started.
A_LACK = 1_000_000
IN_LOTS, WITH_MINUTES = 2, 1
TOGETHER = 0.006
IsOver = Callable[[], bool]


class Stopped(Exception):
    """Somebody asked to stop before the count was done."""


@dataclass(frozen=True)
class Fewest:
    """What lacks, what it costs in parts of 1 ÷ `Wanted.scale`, how many are started of each stage.

    `goal` is both in one, what lacks before what it costs, and `least` what is proven of that.
    `draft` has the copies one by one, but for lots.
    """

    lacks: int
    cost: int
    goal: int
    least: int
    made: tuple[tuple[StageKey, int], ...]
    draft: Draft | None = None

    @property
    def is_proven(self) -> bool:
        """Tell whether no answer is better."""
        return self.least >= self.goal


@dataclass(frozen=True)
class Floor:
    """The fewest in lots, None if the work sufficed for no answer.

    `few` and `more` are how many batches of each call are worth looking at with minutes.
    """

    least: int
    fewest: Fewest | None
    few: Mapping[CallKey, int]
    more: Mapping[CallKey, int]

    @property
    def least_cost(self) -> int:
        """Return what is proven of the cost alone."""
        lacks = 0 if self.fewest is None else self.fewest.goal - self.fewest.cost
        return max(0, self.least - lacks)


def floor_in_lots(
    scope: Scope, wanted: Wanted, work: float, is_over: IsOver = never
) -> Floor | None:
    """Return the fewest copies in lots, in as few batches as they can be made.

    Parameters
    ----------
    scope
        A day in a kitchen without limits.
    wanted
        What is asked of it, and who may lack.
    work
        How much work it may take.
    is_over
        Tells whether somebody asked to stop.

    Returns
    -------
    Floor or None
        None if it is proven that more must lack.

    Raises
    ------
    Stopped
        Where that is heard, within watch.POLL_S; so do the two below.
    """
    wide = each_serving_all(scope)
    model = build(wide, replace(wanted, lots=True))
    thin(wide, model)
    goal = _goal(scope, wanted, model)
    solver, status, least = _in_few_batches(wide, model, goal, work, is_over)
    if status == cp_model.INFEASIBLE:
        return None
    if status not in SOLVED:
        return Floor(max(0, least), None, {}, {})
    few, more = _worth_looking_at(scope, model, solver)
    return Floor(least, _read(model, solver, goal, least), few, more)


def _in_few_batches(
    wide: Scope, model: Model, goal: Expr, work: float, is_over: IsOver
) -> tuple[cp_model.CpSolver, int, int]:
    """Make the goal small and the batches few; return also what is proven of the goal.

    Where both in one take long the goal alone will do: what follows looks at a few batches more.
    """
    batches = total(lot.batches for _, lot in _lots(model))
    times = 1 + _most_batches(wide)
    model.sheet.model.minimize(times * goal + batches)
    few, status = _solved(model, min(work, TOGETHER), IN_LOTS, is_over)
    if status in (cp_model.OPTIMAL, cp_model.INFEASIBLE):
        return few, status, int(few.best_objective_bound) // times
    if status in SOLVED:
        model.sheet.hint(model.sheet.read(few))
    model.sheet.model.minimize(goal)
    best, proven = _solved(model, work, IN_LOTS, is_over)
    least = int(best.best_objective_bound)
    if status in SOLVED and _value(few, goal) == least:
        return few, int(cp_model.OPTIMAL), least
    return best, proven, least


def reached_with_minutes(
    scope: Scope, wanted: Wanted, floor: Fewest, work: float, is_over: IsOver = never
) -> Fewest | None:
    """Return single batches, each at its minute, that start as many of each stage as lots do.

    Parameters
    ----------
    scope
        The day, with as many batches considered as are to be tried.
    wanted
        What is asked of it, and who may lack.
    floor
        The fewest in lots, proven.
    work
        How much work it may take.

    Returns
    -------
    Fewest or None
        None if there are none among these batches, or the work did not suffice.
    """
    model = build(scope, wanted)
    goal = _goal(scope, wanted, model)
    model.sheet.model.add(goal <= floor.least)
    started = _started(model)
    for key, count in floor.made:
        model.sheet.model.add(started[key] == count)
    solver, status = _solved(model, work, WITH_MINUTES, is_over)
    if status not in SOLVED:
        return None
    draft = draft_solved(scope, model, solver)
    return replace(_read(model, solver, goal, floor.least), draft=draft)


def fewest_with_minutes(
    scope: Scope, wanted: Wanted, least: int, work: float, is_over: IsOver = never
) -> Fewest | None:
    """Return the fewest copies of single batches that are found, each at its minute.

    `least` is what lots prove. What is proven here holds for the batches considered.
    """
    model = build(scope, wanted)
    goal = _goal(scope, wanted, model)
    model.sheet.model.add(goal >= least)
    model.sheet.model.minimize(goal)
    solver, status = _solved(model, work, WITH_MINUTES, is_over, is_long=True)
    if status not in SOLVED:
        return None
    found = _read(model, solver, goal, max(least, int(solver.best_objective_bound)))
    return replace(found, draft=draft_solved(scope, model, solver))


def _goal(scope: Scope, wanted: Wanted, model: Model) -> Expr:
    """Return what lacks and what it costs in one: a copy before all backups, these before cost."""
    backups = sum(use.backups for use in scope.needs.uses)
    unmet, unbacked = model.goals.whole("unmet"), model.goals.whole("unbacked")
    lacks = total(((1 + backups) * unmet, unbacked))
    return total((A_LACK * wanted.scale * lacks, model.goals.whole("cost")))


def _solved(
    model: Model, work: float, level: int, is_over: IsOver, *, is_long: bool = False
) -> tuple[cp_model.CpSolver, int]:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = level
    solver.parameters.cp_model_probing_level = 0
    # What more of these finds costs more than it saves, but where the search itself takes long.
    solver.parameters.max_presolve_iterations = 3 if is_long else 1
    solver.parameters.symmetry_level = 2 if is_long else 0
    solver.parameters.max_deterministic_time = work
    with stopped(solver, is_over):
        status = int(solver.solve(model.sheet.model))
    if status not in (cp_model.OPTIMAL, cp_model.INFEASIBLE) and is_over():
        raise Stopped
    return solver, status


def _read(model: Model, solver: cp_model.CpSolver, goal: Expr, least: int) -> Fewest:
    made = tuple((key, _value(solver, started)) for key, started in _started(model).items())
    lacks = total((model.goals.whole("unmet"), model.goals.whole("unbacked")))
    cost = _value(solver, model.goals.whole("cost"))
    return Fewest(_value(solver, lacks), cost, _value(solver, goal), least, made)


def _started(model: Model) -> dict[StageKey, Expr]:
    return {
        key: total(choice.started for each in some for choice in each.choices)
        for key, some in model.batches.items()
    }


def _worth_looking_at(
    scope: Scope, model: Model, solver: cp_model.CpSolver
) -> tuple[dict[CallKey, int], dict[CallKey, int]]:
    """Return as many batches of each call as the lots have, and some more.

    More are one for each run that takes from a lot, and one beside those that the lots have.
    """
    every = {
        (key, run): call.any.batches
        for key, making in scope.makings.items()
        for run, call in making.calls.items()
    }
    few = dict.fromkeys(every, 0)
    for key, lot in _lots(model):
        few[key, lot.call.run] += _value(solver, lot.batches)
    more = {key: 1 + count if count else 0 for key, count in few.items()}
    for flow in model.flows.all:
        run = flow.use.run if flow.use else flow.batch.call.run if flow.batch else ""
        if (flow.source.stage, run) in more and _value(solver, flow.amount):
            more[flow.source.stage, run] = max(1, more[flow.source.stage, run])
    return _within(every, few), _within(every, more)


def _within(most: Mapping[CallKey, int], batches: Mapping[CallKey, int]) -> dict[CallKey, int]:
    return {key: min(limit, batches[key]) for key, limit in most.items()}


def _lots(model: Model) -> list[tuple[StageKey, Lot]]:
    return [
        (key, lot) for key, some in model.batches.items() for lot in some if isinstance(lot, Lot)
    ]


def _most_batches(wide: Scope) -> int:
    """Return a bound of how many batches there could be of all stages together."""
    return sum(
        max((call.any.batches for call in making.calls.values()), default=0)
        for making in wide.makings.values()
    )


def _value(solver: cp_model.CpSolver, expr: Expr) -> int:
    return expr if isinstance(expr, int) else int(solver.value(expr))
