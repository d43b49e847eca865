"""The goals in order, for one model: each made small with the better ones held at their best."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import ceil
from threading import Event, Thread

from ortools.sat.python import cp_model

from app.planning.model.build import Model
from app.planning.plan import GOALS
from app.planning.watch import Teller, Watch

SEED = 1
POLL_S = 0.1
FIRST_TURN = 0.5
LOCAL = -1
ROUNDING = 1e-6
LEAST_WORK = 0.01
SOLVED = (cp_model.OPTIMAL, cp_model.FEASIBLE)


@dataclass
class Answer:
    """The best values found, their figures, and what is proven.

    `floors` has the goals in order up to the first that is not proven, that one included; each
    floor holds among answers that match the better goals' figures.
    """

    values: dict[str, int] | None = None
    figures: dict[str, int] = field(default_factory=dict)
    floors: dict[str, int] = field(default_factory=dict)
    infeasible: bool = False
    work: float = 0.0

    def proven(self, goals: tuple[str, ...]) -> bool:
        """Tell whether every one of the goals stands at its floor."""
        return self.values is not None and all(
            self.figures[goal] == self.floors.get(goal) for goal in goals
        )

    def rank(self, goals: tuple[str, ...]) -> tuple[int, ...]:
        """Return the figures of the goals in order, to compare answers by."""
        return tuple(self.figures[goal] for goal in goals)


def descend(
    model: Model,
    goals: tuple[str, ...],
    watch: Watch,
    work: float,
    floors: Mapping[str, int] | None = None,
    hint: Mapping[str, int] | None = None,
    begin: Answer | None = None,
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
    """
    answer, known = Answer(), dict(floors or {})
    if begin is not None:
        answer.values, answer.figures = begin.values, begin.figures
    for goal in goals:
        expr, floor = getattr(model.goals, goal), known.get(goal, 0)
        if answer.values is None or answer.figures[goal] > floor:
            model.sheet.model.add(expr >= floor)
            model.sheet.hint(answer.values or hint or {})
            if not _lower(model, goal, watch, work - answer.work, answer, floor):
                break
        else:
            answer.floors[goal] = floor
        if answer.figures[goal] > answer.floors[goal]:
            break
        if answer.figures[goal] > floor:
            known = {}
        model.sheet.model.add(expr <= answer.figures[goal])
    return answer


def _lower(model: Model, goal: str, watch: Watch, work: float, answer: Answer, floor: int) -> bool:
    """Make one goal small; tell whether there is an answer to go on from.

    No one way of searching is best for every day, so they take turns that grow longer.
    """
    expr = getattr(model.goals, goal)
    model.sheet.model.minimize(expr)
    answer.floors[goal] = floor
    for turn, level in _turns(first=answer.values is None):
        solver, status = run(model, watch, goal, min(turn, work), level)
        spent = solver.response_proto.deterministic_time
        answer.work += spent
        work -= spent
        if status == cp_model.INFEASIBLE:
            answer.infeasible = answer.values is None
            break
        if status in SOLVED:
            _take(model, solver, answer, goal)
        if status == cp_model.OPTIMAL or work <= LEAST_WORK or watch.over():
            break
    return answer.values is not None


def _turns(first: bool) -> Iterator[tuple[float, int]]:
    """Yield turns of work with the level of linear relaxation: none finds, much proves.

    `LOCAL` changes parts of the best answer and proves nothing.
    """
    levels = (0, 2, 1) if first else (2, LOCAL, 1, 0)
    turn = FIRST_TURN
    while True:
        for level in levels:
            yield turn, level
        turn *= 2


def _take(model: Model, solver: cp_model.CpSolver, answer: Answer, goal: str) -> None:
    """Take over what one turn found, if it is better, and what it proved."""
    found = round(solver.objective_value)
    if answer.values is None or found <= answer.figures[goal]:
        answer.values = model.sheet.read(solver)
        answer.figures = {each: solver.value(getattr(model.goals, each)) for each in GOALS}
        model.sheet.hint(answer.values)
    proven = ceil(solver.best_objective_bound - ROUNDING)
    answer.floors[goal] = min(max(answer.floors[goal], proven), answer.figures[goal])


def run(
    model: Model, watch: Watch, goal: str, work: float, level: int
) -> tuple[cp_model.CpSolver, int]:
    """Run the solver once, with one worker so that it repeats; a stop is heard within POLL_S."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    if level == LOCAL:
        solver.parameters.use_lns_only = True
    else:
        solver.parameters.linearization_level = level
    watch.limit(solver, work)
    ended = Event()

    def listen() -> None:
        while not ended.wait(POLL_S):
            if watch.over():
                solver.stop_search()

    listener = Thread(target=listen, daemon=True)
    listener.start()
    try:
        status = solver.solve(model.sheet.model, Teller(watch, goal))
    finally:
        ended.set()
        listener.join()
    if status == cp_model.MODEL_INVALID:
        raise AssertionError(f"the model is not valid: {model.sheet.model.validate()}")
    return solver, int(status)
