"""A family of demonstrations alone: first in an endless kitchen, then in the empty real one.

In lots it is proven what the family needs at least. The endless kitchen has shifts, but as many
hands and ovens as anybody likes: the shape that it gives a plan mostly fits into the real kitchen
as it is.
"""

from dataclasses import replace

from app.planning.descent import Answer, descend
from app.planning.fitting import Fitting
from app.planning.model.build import Wanted, build
from app.planning.proving import CHECK_WORK, COPY_GOALS, COUNT_GOALS, Limits, Proving
from app.planning.scope import Scope
from app.planning.watch import Watch

LOTS_SHARE = 0.3
CHECK_SHARE = 0.1
COUNTING_SHARE = 0.6
ENDLESS_SHARE = 0.85
ENDLESS_WORK = 0.25
NARROWING_SHARE = 0.3
TRIES = 3


def alone(
    scope: Scope, wanted: Wanted, goals: tuple[str, ...], watch: Watch, work: float
) -> tuple[Wanted, Answer]:
    """Plan the wanted stages of one family by themselves; let them lack only what they must.

    Return what was asked for in the end, and the answer to that, with floors that hold for any
    number of batches.
    """
    family = frozenset(key[0] for key in wanted.stages)
    known: Limits = {}
    answer = Answer()
    for may in (wanted, replace(wanted, bare=family), replace(wanted, bare=family, short=family)):
        wanted = may
        proving = Proving(scope, may, goals, watch, min(CHECK_WORK, work * CHECK_SHARE))
        lots = proving.lots(COPY_GOALS, work * LOTS_SHARE, known)
        if lots.infeasible:
            known = {"unmet": 1} if may.bare else {"unmet": 0, "unbacked": 1}
            answer.work += lots.work
            continue
        if lots.values is not None:
            proving.look_at_few(COPY_GOALS, lots)
        known = lots.floors
        found = _planned(scope, may, goals, watch, work - proving.work - answer.work, known)
        found.floors = proving.true_floors(found, known)
        found.work += answer.work + proving.work
        answer = found
        if answer.values is not None:
            break
    return wanted, answer


def _planned(
    scope: Scope,
    wanted: Wanted,
    goals: tuple[str, ...],
    watch: Watch,
    work: float,
    known: Limits,
) -> Answer:
    """Plan a family alone; where that fails, consider more batches."""
    answer, spent = Answer(), 0.0
    for _ in range(TRIES):
        answer = _planned_once(scope, wanted, goals, watch, work - spent, known)
        spent += answer.work
        answer.work = spent
        if answer.values is not None or spent >= work or watch.over():
            break
        if not scope.consider_more(wanted.stages):
            break
    return answer


def _planned_once(
    scope: Scope,
    wanted: Wanted,
    goals: tuple[str, ...],
    watch: Watch,
    work: float,
    known: Limits,
) -> Answer:
    endless = build(scope, replace(wanted, kitchen="endless", times=False))
    free = descend(endless, COPY_GOALS, watch, min(work * ENDLESS_SHARE, ENDLESS_WORK), known)
    if free.values is None:
        return free
    answer = _in_kitchen(scope, wanted, watch, free, work - free.work)
    if answer.values is None:
        exact = build(scope, wanted)
        answer = descend(exact, goals, watch, work, known, free.values)
    answer.floors = free.floors
    answer.work += free.work
    return answer


def thrifty_alone(
    scope: Scope, wanted: Wanted, goals: tuple[str, ...], watch: Watch, known: Answer, work: float
) -> Answer:
    """Return the shape that asks one family for the fewest hands in an endless kitchen."""
    if goals[3] != "hands_min":
        return known
    proving = Proving(scope, wanted, goals, watch)
    floors = proving.lots(COUNT_GOALS, work * COUNTING_SHARE, known.floors).floors
    endless = build(scope, replace(wanted, kitchen="endless", times=False))
    left = work - proving.work
    answer = descend(endless, COUNT_GOALS, watch, left, floors, known.values, known)
    answer.floors = proving.true_floors(answer, floors)
    answer.work += proving.work
    return answer


def proved_alone(
    scope: Scope, wanted: Wanted, goals: tuple[str, ...], watch: Watch, known: Answer, work: float
) -> Answer:
    """Return the plan of one family by itself as good as the work allows, with what it proves."""
    proving = Proving(scope, wanted, goals, watch)
    narrow, is_sure = scope, not proving.is_cut
    if not is_sure:
        narrow, is_sure = proving.narrowed(_limits(goals, known), work * NARROWING_SHARE)
    model, every = build(narrow, wanted), (*goals, "early_min")
    left = work - proving.work
    answer = descend(model, every, watch, left, known.floors, known.values, known)
    if not is_sure:
        answer.floors = replace(proving, scope=narrow).true_floors(answer, known.floors)
    answer.work += proving.work
    return answer


def _limits(goals: tuple[str, ...], known: Answer) -> dict[str, int]:
    """Return within which counts a plan must keep to be as good as can be, as far as is known."""
    limits: dict[str, int] = {}
    for goal in goals:
        if goal not in COUNT_GOALS or goal not in known.floors:
            break
        limits[goal] = known.floors[goal]
    return limits


def _in_kitchen(scope: Scope, wanted: Wanted, watch: Watch, free: Answer, work: float) -> Answer:
    fitting = Fitting(scope, watch)
    fitted = fitting.fit(wanted, free, COPY_GOALS)
    if fitted.values is None:
        family = frozenset(key[0] for key in wanted.stages)
        eased = fitting.eased(wanted, free, family, work - fitted.work)
        eased.work += fitted.work
        return eased
    return fitted
