"""People shared out among duties whose minutes stand: nobody does two things at once."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from ortools.sat.python import cp_model

from app.planning.crew import Duty, Key, clashes, is_able
from app.planning.day import Cook

WORK = 0.15
Crews = dict[Key, tuple[str, ...]]
_Does = dict[Key, dict[str, cp_model.IntVar]]


@dataclass(frozen=True)
class Shared(Duty):
    """A duty to share out: who had better do it, how bad it is to leave its batch with nobody."""

    crew: frozenset[str]
    weight: int


def meeting(duties: Iterable[Shared], wanted: Collection[Key]) -> list[Shared]:
    """Return the wanted ones with all that meet them, and those that meet these.

    Parameters
    ----------
    duties
        All there are.
    wanted
        The keys of some.
    """
    in_order = sorted(duties, key=lambda duty: (duty.starts, duty.ends, duty.key))
    chains: list[set[Key]] = []
    for together in clashes(in_order) if wanted else ():
        chain = {duty.key for duty in together}
        met = [each for each in chains if not each.isdisjoint(chain)]
        apart = [each for each in chains if each.isdisjoint(chain)]
        chains = [*apart, chain.union(*met)]
    meant = set[Key]().union(*(chain for chain in chains if not chain.isdisjoint(wanted)))
    return [duty for duty in in_order if duty.key in meant]


def shared(duties: Iterable[Shared], able: Mapping[Key, Collection[Cook]]) -> Crews:
    """Return who does each duty; those of a batch that is left with nobody are missing.

    First as little as will do is left, by weight; then as few people as will do are changed.

    Parameters
    ----------
    duties
        What is to be done.
    able
        Who is there for each of them.
    """
    told = list(duties)
    model = cp_model.CpModel()
    stays = {batch: model.new_bool_var(batch) for batch in {duty.key[0]: None for duty in told}}
    does = {duty.key: _given(model, duty, able[duty.key], stays[duty.key[0]]) for duty in told}
    _no_clashes(model, told, does)
    weights = {duty.key[0]: duty.weight for duty in told}
    kept = sum(weight * stays[batch] for batch, weight in weights.items())
    same = sum(by for duty in told for cook, by in does[duty.key].items() if cook in duty.crew)
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
    model: cp_model.CpModel, duty: Shared, able: Collection[Cook], stays: cp_model.IntVar
) -> dict[str, cp_model.IntVar]:
    """Give a duty its hands if its batch stays; return who may do it."""
    by = {cook.id: model.new_bool_var(f"{duty.key} by {cook.id}") for cook in able}
    model.add(sum(by.values()) == duty.phase.hands * stays)
    if duty.phase.skill is not None:
        model.add(sum(by[cook.id] for cook in able if is_able(cook, duty.phase)) >= stays)
    for cook, chosen in by.items():
        model.add_hint(chosen, cook in duty.crew)
    return by


def _no_clashes(model: cp_model.CpModel, duties: list[Shared], does: _Does) -> None:
    """Let nobody do what clashes."""
    for together in clashes(duties):
        at_most_one: defaultdict[str, list[cp_model.IntVar]] = defaultdict(list)
        for duty in together:
            for cook, chosen in does[duty.key].items():
                at_most_one[cook].append(chosen)
        for some in at_most_one.values():
            model.add_at_most_one(some)
