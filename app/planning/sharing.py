"""People shared out among tasks whose minutes stand: nobody does two things at once."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from ortools.sat.python import cp_model

from app.planning.day import Cook

WORK = 0.15
Key = tuple[str, int]
Crews = dict[Key, tuple[str, ...]]
_Does = dict[Key, dict[str, cp_model.IntVar]]


@dataclass(frozen=True)
class Task:
    """One phase with hands: of which batch, when, what it asks for, who had better do it.

    Minutes count from 1970 in UTC. `weight` says how bad it is to leave the batch with nobody.
    """

    key: Key
    starts: int
    ends: int
    hands: int
    skill: str | None
    crew: frozenset[str]
    weight: int


def meeting(tasks: Iterable[Task], wanted: Collection[Key]) -> list[Task]:
    """Return the wanted ones with all that meet them, and those that meet these.

    Parameters
    ----------
    tasks
        All there are.
    wanted
        The keys of some.
    """
    found: list[Task] = []
    together: list[Task] = []
    until = 0
    for task in sorted(tasks, key=lambda task: (task.starts, task.ends, task.key)):
        if together and task.starts >= until:
            found += together if any(each.key in wanted for each in together) else []
            together = []
        together.append(task)
        until = max(until, task.ends)
    return found + (together if any(each.key in wanted for each in together) else [])


def shared(tasks: Iterable[Task], able: Mapping[Key, Collection[Cook]]) -> Crews:
    """Return who does each task; those of a batch that is left with nobody are missing.

    First as little as will do is left, by weight; then as few people as will do are changed.

    Parameters
    ----------
    tasks
        What is to be done.
    able
        Who is there for each of them.
    """
    told = list(tasks)
    model = cp_model.CpModel()
    stays = {batch: model.new_bool_var(batch) for batch in {task.key[0]: None for task in told}}
    does = {task.key: _given(model, task, able[task.key], stays[task.key[0]]) for task in told}
    _one_thing_at_a_time(model, told, does)
    weights = {task.key[0]: task.weight for task in told}
    kept = sum(weight * stays[batch] for batch, weight in weights.items())
    same = sum(by for task in told for cook, by in does[task.key].items() if cook in task.crew)
    found: Crews = {}
    for goal in (kept, same):
        model.maximize(goal)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers, solver.parameters.max_deterministic_time = 1, WORK
        if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            break
        model.add(goal >= round(solver.objective_value))
        found = {
            key: tuple(cook for cook, chosen in by.items() if solver.value(chosen))
            for key, by in does.items()
            if solver.value(stays[key[0]])
        }
    return found


def _given(
    model: cp_model.CpModel, task: Task, able: Collection[Cook], stays: cp_model.IntVar
) -> dict[str, cp_model.IntVar]:
    """Give a task its hands if its batch stays; return who may do it."""
    by = {cook.id: model.new_bool_var(f"{task.key} by {cook.id}") for cook in able}
    model.add(sum(by.values()) == task.hands * stays)
    if task.skill is not None:
        model.add(sum(by[cook.id] for cook in able if task.skill in cook.skills) >= stays)
    for cook, chosen in by.items():
        model.add_hint(chosen, cook in task.crew)
    return by


def _one_thing_at_a_time(model: cp_model.CpModel, tasks: list[Task], does: _Does) -> None:
    """Let nobody do two things at once: at each start of one, those that go on then."""
    for starts in sorted({task.starts for task in tasks}):
        at_once: defaultdict[str, list[cp_model.IntVar]] = defaultdict(list)
        for task in tasks:
            if task.starts <= starts < task.ends:
                for cook, chosen in does[task.key].items():
                    at_once[cook].append(chosen)
        for some in at_once.values():
            model.add_at_most_one(some)
