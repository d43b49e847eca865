"""The rough count: how many copies a demonstration needs at least, in a kitchen without limits.

As many hands, ovens and shelves as anybody likes, and as much time before the first run as the
work takes. What the food forbids stays: how long copies keep, what each is made from, what is
lost, what must not have been on camera, what may be used again and when it is back.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from ortools.sat.python import cp_model

from app.planning.day import Cook, Day, Equipment, Kitchen, Run
from app.planning.minutes import Clock
from app.planning.model.build import Model, Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.model.sheet import total
from app.planning.needs import StageKey
from app.planning.reading import faults_of_day
from app.planning.scope import Scope
from app.planning.thinning import let_each_serve_all, thin

PLENTY = 1_000_000
LONGEST_BEFORE_MIN = 14 * 1440
KEPT = 64
# Work is counted, so the answer is always the same; the first is a tenth of a second's, which most
# counts need, and tells a bound where it does not suffice.
HASTE, MOST_WORK = 0.045, 4.0
State = Literal["exact", "within", "faulty", "none"]


@dataclass(frozen=True)
class Rough:
    """The count: copies started of each stage, what they cost in all, what needs lack all the same.

    `state` is *exact* where it is proven that no plan costs less in any kitchen, *within* where
    `least` is all that is proven, *faulty* where the demonstration is not whole yet, *none* where
    it has nothing to count. `imagined` tells that it has no runs, and one take was counted.
    """

    state: State
    made: tuple[tuple[StageKey, int], ...] = ()
    cost: float = 0
    least: float = 0
    lacks: int = 0
    imagined: bool = False


def rough_count(day: Day, demonstration: str, *, in_haste: bool = False) -> Rough:
    """Return the fewest copies, by what they cost, for a demonstration with all that it shares.

    Parameters
    ----------
    day
        A day, whole or not: only what the demonstration is made of, and its runs, are looked at.
    demonstration
        Its id.
    in_haste
        Whether a bound will do for the moment where the proof takes longer than people wait.

    Returns
    -------
    Rough
        The counts of an answer in lots (`model/lots.py`): as many batches as anybody likes, each at
        any minute that may be of use. No plan undercuts its cost; a plan in a real kitchen may have
        to make more.
    """
    alone, imagined = unlimited(day, demonstration)
    if not alone.runs:
        return Rough("none")
    return replace(_counted(alone, HASTE if in_haste else MOST_WORK), imagined=imagined)


def unlimited(day: Day, demonstration: str) -> tuple[Day, bool]:
    """Return a day of one demonstration and its kin in a kitchen without limits.

    Where it has no runs, it has one take, and the second value is True.
    """
    kin = kin_of(day, demonstration)
    runs = tuple(run for run in day.runs if run.demonstration in kin)
    shown = day.demonstration(demonstration)
    imagined = not runs and bool(shown.beats)
    clock = Clock(day.timezone)
    first = clock.minute(day.prep_from)
    if imagined:
        run = Run(id="one-take", demonstration=demonstration, kind="take", starts=day.prep_from)
        runs = (run,)
    starts = [clock.minute(run.starts) for run in runs] or [first]
    begin, end = min(first, *starts) - LONGEST_BEFORE_MIN, max(starts) + LONGEST_BEFORE_MIN
    alone = day.model_copy(
        update={
            "prep_from": clock.text(begin),
            "kitchen": _endless(day, clock.text(begin), clock.text(end)),
            "demonstrations": tuple(each for each in day.demonstrations if each.id in kin),
            "runs": runs,
            "stock": tuple(each for each in day.stock if each.demonstration in kin),
        }
    )
    return alone, imagined


def kin_of(day: Day, demonstration: str) -> frozenset[str]:
    """Return a demonstration and all that share components with it, however far."""
    pairs = [
        (home.id, taken.demonstration)
        for home, stage in day.all_stages()
        for takes in (stage.takes, *(way.takes or () for way in stage.ways))
        for taken in takes
        if taken.demonstration is not None
    ]
    kin, found = frozenset[str](), frozenset({demonstration})
    while found != kin:
        kin = found
        found = kin | {end for pair in pairs if not kin.isdisjoint(pair) for end in pair}
    return kin


def _endless(day: Day, begin: str, end: str) -> Kitchen:
    phases = [phase for _, stage in day.all_stages() for way in stage.ways for phase in way.phases]
    kinds = sorted({held.kind for phase in phases for held in phase.equipment})
    skills = tuple(sorted({phase.skill for phase in phases if phase.skill is not None}))
    hands = max((phase.hands for phase in phases), default=1)
    return Kitchen(
        equipment=tuple(
            Equipment(id=f"item-{at}", kind=kind, units=PLENTY) for at, kind in enumerate(kinds)
        ),
        crew=tuple(
            Cook(id=f"cook-{at}", shifts=((begin, end),), skills=skills) for at in range(hands)
        ),
    )


@lru_cache(maxsize=KEPT)
def _counted(alone: Day, work: float) -> Rough:
    if work > HASTE:
        # What is proven already need not be proven again.
        hasty = _counted(alone, HASTE)
        if hasty.state != "within":
            return hasty
    if faults_of_day(alone):
        return Rough("faulty")
    scope = Scope(alone)
    let_each_serve_all(scope)
    lots = Wanted(
        tuple(scope.makings), cost_scale(scope), kitchen="endless", times=False, lots=True
    )
    every = frozenset(each.id for each in alone.demonstrations)
    for wanted in (lots, replace(lots, bare=every), replace(lots, bare=every, short=every)):
        found = _solved(scope, wanted, work)
        if found is not None:
            return found
    return Rough("none")


def _solved(scope: Scope, wanted: Wanted, work: float) -> Rough | None:
    model = build(scope, wanted)
    thin(scope, model)
    lacks = total((model.goals.whole("unmet"), model.goals.whole("unbacked")))
    cost = model.goals.whole("cost")
    if wanted.bare:
        # One lack weighs more than all that could ever be started.
        model.sheet.model.minimize(PLENTY * wanted.scale * lacks + cost)
    else:
        model.sheet.model.add(lacks == 0)
        model.sheet.model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    # What more of these finds costs more than it saves on a model this small.
    solver.parameters.max_presolve_iterations = 1
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.max_deterministic_time = work
    status = solver.solve(model.sheet.model)
    if status == cp_model.INFEASIBLE:
        return None
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Rough("within")
    missing = _value(solver, lacks)
    least = solver.best_objective_bound - PLENTY * wanted.scale * missing * bool(wanted.bare)
    return Rough(
        "exact" if status == cp_model.OPTIMAL else "within",
        _made(solver, model),
        _value(solver, cost) / wanted.scale,
        least / wanted.scale,
        missing,
    )


def _made(solver: cp_model.CpSolver, model: Model) -> tuple[tuple[StageKey, int], ...]:
    return tuple(
        (key, sum(_value(solver, choice.started) for each in some for choice in each.choices))
        for key, some in model.batches.items()
    )


def _value(solver: cp_model.CpSolver, expr: object) -> int:
    return expr if isinstance(expr, int) else int(solver.value(expr))  # type: ignore[arg-type]
