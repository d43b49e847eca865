"""A family of demonstrations alone: first in an endless kitchen, then in the empty real one.

The endless kitchen has shifts, but as many hands and ovens as anybody likes: what it proves holds,
and the shape that it gives a plan mostly fits into the real kitchen as it is.
"""

from collections.abc import Mapping
from dataclasses import replace

from app.planning.descent import Answer, descend
from app.planning.fitting import Fitting
from app.planning.model.build import Wanted, build
from app.planning.scope import Scope
from app.planning.watch import Watch

COPY_GOALS = ("unmet", "unbacked", "cost")
COUNT_GOALS = (*COPY_GOALS, "hands_min")
ENDLESS_SHARE = 0.85


def alone(
    scope: Scope, wanted: Wanted, goals: tuple[str, ...], watch: Watch, work: float
) -> tuple[Wanted, Answer]:
    """Plan the wanted stages of one family by themselves; let them lack only what they must.

    Return what was asked for in the end, and the answer to that.
    """
    family = frozenset(key[0] for key in wanted.stages)
    floors: dict[str, int] = {}
    answer = Answer()
    for may in (wanted, replace(wanted, bare=family), replace(wanted, bare=family, short=family)):
        wanted = may
        found = _planned(scope, may, goals, watch, work - answer.work, floors)
        found.work += answer.work
        answer = found
        if answer.values is not None:
            break
        if answer.infeasible:
            floors = {"unmet": 1} if may.bare else {"unmet": 0, "unbacked": 1}
    return wanted, answer


def _planned(
    scope: Scope,
    wanted: Wanted,
    goals: tuple[str, ...],
    watch: Watch,
    work: float,
    floors: Mapping[str, int],
) -> Answer:
    endless = build(scope, replace(wanted, kitchen="endless", times=False))
    free = descend(endless, COPY_GOALS, watch, work * ENDLESS_SHARE, floors)
    if free.values is None:
        return free
    answer = _in_kitchen(scope, wanted, goals, watch, free, work - free.work)
    if answer.values is None:
        exact = build(scope, wanted)
        answer = descend(exact, goals, watch, work, free.floors, free.values)
    else:
        answer.floors = free.floors
    answer.work += free.work
    return answer


def thrifty_alone(
    scope: Scope, wanted: Wanted, goals: tuple[str, ...], watch: Watch, known: Answer, work: float
) -> Answer:
    """Return the shape that asks one family for the fewest hands in an endless kitchen."""
    count_goals = COUNT_GOALS if goals[3] == "hands_min" else COPY_GOALS
    endless = build(scope, replace(wanted, kitchen="endless", times=False))
    return descend(endless, count_goals, watch, work, known.floors, known.values, known)


def proved_alone(
    scope: Scope, wanted: Wanted, goals: tuple[str, ...], watch: Watch, known: Answer, work: float
) -> Answer:
    """Return the plan of one family by itself as good as the work allows, with what it proves."""
    model = build(scope, wanted)
    every = (*goals, "early_min")
    return descend(model, every, watch, work, known.floors, known.values, known)


def _in_kitchen(
    scope: Scope,
    wanted: Wanted,
    goals: tuple[str, ...],
    watch: Watch,
    free: Answer,
    work: float,
) -> Answer:
    fitting = Fitting(scope, goals, watch)
    fitted = fitting.fit(wanted, free, work, COUNT_GOALS)
    if fitted.values is None:
        family = frozenset(key[0] for key in wanted.stages)
        eased = fitting.eased(wanted, free, family, work - fitted.work)
        eased.work += fitted.work
        return eased
    return fitted
