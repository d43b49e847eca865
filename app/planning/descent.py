"""The goals in order, for one model: each made small with the better ones held at their best."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import count
from math import ceil, inf

from ortools.sat.python import cp_model

from app.planning.model.build import Model
from app.planning.watch import Teller, Watch, stopped

Turn = tuple[int, float]
FIRST_SEED = 2
FINDING_TURN = 0.8
IMPROVING_TURN = 0.3
LOCAL = -1
PREFERRED = -2
QUICK = -3
SHARP = -4
CAREFUL = -5
EAGER = -6
LOCAL_LANES = 2
LONGER = 4
PRICES = {
    1: 1.0,
    PREFERRED: 1.0,
    QUICK: 2.8,
    SHARP: 2.5,
    CAREFUL: 2.5,
    LOCAL: 1.2,
    2: 1.7,
    EAGER: 1.7,
    0: 2.5,
}
PRICE_OF_SHAPE = 1.8
SMALL_MODEL = 2500
ROUNDING = 1e-6
LEAST_WORK = 0.01
SOLVED = (cp_model.OPTIMAL, cp_model.FEASIBLE)


@dataclass(frozen=True)
class Turns:
    """In which ways to search in turn, with shares: for any answer, then for a better one.

    `patience` is the most work for a better one; with `any_will_do` the first one ends a turn.
    """

    finding: tuple[Turn, ...] = ((1, 1.0), (1, 1.0), (0, 1.0), (2, 1.0))
    improving: tuple[Turn, ...] = ((1, 1.0), (LOCAL, 0.4), (2, 0.3), (0, 0.15))
    patience: float = inf
    any_will_do: bool = False


FITTING = Turns(finding=((PREFERRED, 0.05), (1, 1.0), (0, 1.0), (2, 1.0)))
QUICKLY = Turns(
    finding=((QUICK, 0.75), (QUICK, 0.75), (1, 1.0)),
    improving=((QUICK, 1.0), (1, 1.0)),
    patience=0.2,
)
WIDELY = replace(QUICKLY, finding=((QUICK, 0.3), (1, 0.5), (QUICK, 0.75), (1, 1.0)))
SHARPLY = Turns(finding=((SHARP, 1.0), (1, 1.0), (0, 1.0), (2, 1.0)))
BY_TURNS = Turns()


@dataclass
class Answer:
    """The best values found, their figures by demonstration, and what is proven.

    `shape` names the values that shape the plan. `floors` has the goals in order up to the first
    that is not proven, that one included; each floor holds among answers that match the better
    goals' figures. `solved` is the model that gave the values, as the solver left it.
    """

    values: dict[str, int] | None = None
    parts: dict[str, dict[str, int]] = field(default_factory=dict)
    shape: frozenset[str] = frozenset()
    floors: dict[str, int] = field(default_factory=dict)
    infeasible: bool = False
    work: float = 0.0
    solved: tuple[Model, cp_model.CpSolver] | None = None

    @property
    def figures(self) -> dict[str, int]:
        """Return the figures of all demonstrations together."""
        goals = {goal for part in self.parts.values() for goal in part}
        return {goal: sum(part[goal] for part in self.parts.values()) for goal in goals}

    @property
    def shaped(self) -> dict[str, int]:
        """Return the values that shape the plan."""
        return {name: value for name, value in (self.values or {}).items() if name in self.shape}

    def proven(self, goals: tuple[str, ...]) -> bool:
        """Tell whether every one of the goals stands at its floor."""
        figures = self.figures
        return self.values is not None and all(
            figures[goal] == self.floors.get(goal) for goal in goals
        )

    def rank(self, goals: tuple[str, ...]) -> tuple[int, ...]:
        """Return the figures of the goals in order, to compare answers by."""
        figures = self.figures
        return tuple(figures[goal] for goal in goals)


def descend(
    model: Model,
    goals: tuple[str, ...],
    watch: Watch,
    work: float,
    floors: Mapping[str, int] | None = None,
    hint: Mapping[str, int] | None = None,
    begin: Answer | None = None,
    turns: Turns = BY_TURNS,
) -> Answer:
    """Return the best answer to the goals in order within a limit of work.

    Parameters
    ----------
    floors
        What no answer undercuts as long as the better goals stand at their own floors.
    hint
        Values of an answer to a part, or to another day, that may help.
    begin
        An answer of this very model: a goal that it has at its floor is not worked on again.
    turns
        In which ways to search.
    """
    known = dict(floors or {})
    answer = replace(begin or Answer(), floors={}, infeasible=False, work=0.0)
    for goal in goals:
        expr, floor = model.goals.whole(goal), known.get(goal, 0)
        if isinstance(expr, int) and answer.values is None and goal != goals[-1]:
            answer.floors[goal] = expr
            continue
        answer.floors[goal] = floor
        if answer.values is None or answer.figures[goal] > floor:
            model.sheet.hint(answer.values or hint or {})
            if not _lower(model, goal, watch, work - answer.work, answer, turns):
                break
        if answer.figures[goal] > answer.floors[goal]:
            break
        known = known if answer.figures[goal] == floor else {}
        model.sheet.model.add(expr <= answer.figures[goal])
    return answer


def _lower(
    model: Model,
    goal: str,
    watch: Watch,
    work: float,
    answer: Answer,
    turns: Turns,
) -> bool:
    """Make one goal small; tell whether there is an answer to go on from.

    No one way of searching is best for every day, nor one seed, so they take turns: levels of
    linear relaxation, and `LOCAL`, which changes parts of the best answer and proves nothing.
    """
    expr, floor = model.goals.whole(goal), answer.floors[goal]
    model.sheet.model.add(expr >= floor)
    model.sheet.model.minimize(expr)
    finding = _turns(turns.finding, FINDING_TURN)
    improving = _turns(turns.improving, IMPROVING_TURN)
    for seed in count(FIRST_SEED):
        turn, level = next(finding if answer.values is None else improving)
        teller = Teller(watch, floor, turns.any_will_do)
        solver, status = run(model, teller, min(turn, work), level, seed)
        spent = solver.response_proto.deterministic_time * price(model, level)
        answer.work += spent
        work -= spent
        if status == cp_model.INFEASIBLE:
            answer.infeasible = answer.values is None
            break
        if status in SOLVED:
            work = min(work, turns.patience) if answer.values is None else work
            _take(model, solver, answer, goal)
        at_floor = answer.values is not None and answer.figures[goal] <= floor
        if status == cp_model.OPTIMAL or at_floor or work <= LEAST_WORK or watch.over():
            break
    return answer.values is not None


def _turns(turns: tuple[Turn, ...], work: float) -> Iterator[tuple[float, int]]:
    """Yield turns of work that grow longer with each round, with their levels."""
    while True:
        for level, share in turns:
            yield work * share, level
        work *= LONGER


def _take(model: Model, solver: cp_model.CpSolver, answer: Answer, goal: str) -> None:
    """Take over what one turn found, if it is better, and what it proved."""
    found = round(solver.objective_value)
    if answer.values is None or found < answer.figures[goal]:
        answer.values, answer.shape = model.sheet.read(solver), frozenset(model.sheet.shape)
        answer.parts, answer.solved = {}, (model, solver)
        for each, by_demonstration in model.goals.by_demonstration.items():
            for demonstration, expr in by_demonstration.items():
                answer.parts.setdefault(demonstration, {})[each] = solver.value(expr)
        model.sheet.hint(answer.values)
    proven = ceil(solver.best_objective_bound - ROUNDING)
    answer.floors[goal] = min(max(answer.floors[goal], proven), answer.figures[goal])


def price(model: Model, level: int) -> float:
    """Return what the solver's own unit of work costs in time, about, beside a small model."""
    size = max(1.0, len(model.sheet.model.proto.constraints) / SMALL_MODEL)
    return PRICES[level] * size * (PRICE_OF_SHAPE if model.sheet.held else 1.0)


def run(
    model: Model, teller: Teller, work: float, level: int, seed: int
) -> tuple[cp_model.CpSolver, int]:
    """Run the solver once, so that it repeats; a stop is heard soon.

    What it says to be proven without having searched is asked once more in another way: the engine
    is sometimes wrong there (OR-Tools 9.15; see its issue 5274).
    """
    solver, status = _run(model, teller, work, level, seed)
    if _is_rash(model, teller, solver, status):
        solver, status = _run(model, teller, work, CAREFUL, seed)
    return solver, status


def _is_rash(model: Model, teller: Teller, solver: cp_model.CpSolver, status: int) -> bool:
    """Tell whether something is said to be proven that was not searched for, nor known before.

    Where a shape is held nothing is taken for proven.
    """
    if model.sheet.held or solver.num_branches or solver.num_conflicts:
        return False
    is_at_floor = status in SOLVED and solver.objective_value <= teller.floor
    return status in (cp_model.OPTIMAL, cp_model.INFEASIBLE) and not is_at_floor


def _run(
    model: Model, teller: Teller, work: float, level: int, seed: int
) -> tuple[cp_model.CpSolver, int]:
    watch = teller.watch
    solver = cp_model.CpSolver()
    _search_as(solver.parameters, level, seed)
    watch.limit(solver, work / price(model, level))
    with stopped(solver, watch.over):
        status = _solved(solver, model, teller)
    if status == cp_model.MODEL_INVALID:
        raise AssertionError(f"the model is not valid: {model.sheet.model.validate()}")
    if status in SOLVED and not solver.response_proto.solution:
        status = cp_model.UNKNOWN
    return solver, int(status)


def _solved(solver: cp_model.CpSolver, model: Model, teller: Teller) -> cp_model.CpSolverStatus:
    try:
        return solver.solve(model.sheet.model, teller)
    except IndexError:
        # the engine can trip over a hint before it searches (OR-Tools 9.15, its issue 5288)
        model.sheet.hint({})
        return solver.solve(model.sheet.model, teller)


def _search_as(parameters: cp_model.SatParameters, level: int, seed: int) -> None:
    """Set how the solver searches."""
    parameters.num_workers = 1
    parameters.random_seed = seed
    parameters.cp_model_probing_level = 0  # else the presolve takes longer than the search
    if level == LOCAL:
        parameters.num_workers = LOCAL_LANES
        parameters.interleave_search = True
        # one task at a time: else it is by chance who finds something first, and ends the search
        parameters.interleave_batch_size = 1
        parameters.use_lns_only = True
        # with presolve the engine aborts if it is stopped after a solution, before it shares it
        parameters.cp_model_presolve = False
    elif level == PREFERRED:
        parameters.search_branching = cp_model.PARTIAL_FIXED_SEARCH
        parameters.max_presolve_iterations = 1
        parameters.symmetry_level = 0
    elif level == QUICK:
        parameters.max_cut_rounds_at_level_zero = 0
        parameters.max_presolve_iterations = 1
    elif level == CAREFUL:
        parameters.linearization_level = 0
        parameters.cp_model_probing_level = 2
    elif level == SHARP:
        # where items are full of batches one after another, their order is what must be proven
        parameters.linearization_level = 0
        parameters.use_dynamic_precedence_in_disjunctive = True
        # with a presolve that drops answers the engine can find one that is none, and abort
        parameters.keep_all_feasible_solutions_in_presolve = True
    elif level == EAGER:
        parameters.linearization_level = 2
        parameters.add_lp_constraints_lazily = False
    else:
        parameters.linearization_level = level
