"""A family of demonstrations alone: first in an endless kitchen, then in the empty real one.

In lots it is proven what the family needs at least. The endless kitchen has shifts, but as many
hands and ovens as anybody likes: the shape that it gives a plan mostly fits into the real kitchen
as it is. On a long day it is fitted in beside others at once, not into the empty kitchen.
"""

from dataclasses import replace
from itertools import takewhile

from app.planning.descent import QUICKLY, Answer, descend
from app.planning.fitting import Fitting
from app.planning.model.build import Wanted, build
from app.planning.proving import (
    CHECK_WORK,
    COPY_GOALS,
    COUNT_GOALS,
    EAGERLY,
    IN_LOTS,
    Limits,
    Proving,
)
from app.planning.scope import Scope
from app.planning.watch import Watch

LOTS_SHARE = 0.3
CHECK_SHARE = 0.1
COUNTING_SHARE = 0.6
ENDLESS_SHARE = 0.85
ENDLESS_WORK = 0.75
LOTS_WORK = 0.1
ALL_LOTS_WORK = 0.72
LEAST_LOTS_WORK = 0.06
NARROWING_SHARE = 0.3
TRIES = 3
MORE = (1, 2, 4, 8, 16)


def alone(
    scope: Scope,
    wanted: Wanted,
    goals: tuple[str, ...],
    watch: Watch,
    work: float,
    in_kitchen: bool = True,
) -> tuple[Wanted, Answer]:
    """Plan the wanted stages of one family by themselves; let them lack only what they must.

    Return what was asked for in the end, and the answer to that, with floors that hold for any
    number of batches.

    Parameters
    ----------
    in_kitchen
        Whether the answer must be a plan; else a shape for an endless kitchen will do.
    """
    family = frozenset(key[0] for key in wanted.stages)
    known: Limits = {}
    answer, spent = Answer(), 0.0
    for may in (wanted, replace(wanted, bare=family), replace(wanted, bare=family, short=family)):
        wanted = may
        proving = Proving(scope, may, goals, watch, min(CHECK_WORK, work * CHECK_SHARE))
        most, turns = work * LOTS_SHARE, IN_LOTS
        if not in_kitchen:
            most, turns = min(most, _hasty_work(scope)), EAGERLY
        lots = proving.lots(COPY_GOALS, most, known, turns)
        if lots.infeasible:
            known = {"unmet": 1} if may.bare else {"unmet": 0, "unbacked": 1}
            spent += lots.work
            continue
        answer, known = _as_in_lots(proving, lots, work - spent, in_kitchen), lots.floors
        spent += answer.work
        if not answer.infeasible:
            break
    answer.work = spent
    return wanted, answer


def _hasty_work(scope: Scope) -> float:
    """Return the work in lots on a long day: the more families there are, the less for each."""
    return min(LOTS_WORK, max(LEAST_LOTS_WORK, ALL_LOTS_WORK / len(set(scope.kin.values()))))


def _as_in_lots(proving: Proving, lots: Answer, work: float, in_kitchen: bool) -> Answer:
    """Return a plan of a family as good as the answer in lots, if there is one; with its floors."""
    aims = lots.floors
    if lots.values is not None:
        proving.look_at_few(lots)
        aims = lots.figures
    answer = _planned(proving, work - proving.work, aims, in_kitchen)
    answer.floors = dict(lots.floors)
    answer.work += proving.work
    return answer


def _planned(proving: Proving, work: float, aims: Limits, in_kitchen: bool) -> Answer:
    """Plan a family alone; where those are too few, consider more batches.

    Parameters
    ----------
    aims
        Figures that are good enough.
    """
    scope, wanted, watch = proving.scope, proving.wanted, proving.watch
    answer, spent = Answer(), 0.0
    for more in MORE:
        answer = _in_endless(scope, wanted, watch, work - spent, aims)
        spent += answer.work
        if in_kitchen and not answer.infeasible:
            answer = _in_kitchen(scope, wanted, watch, answer, work - spent, aims)
            spent += answer.work
        answer.work = spent
        if not answer.infeasible or spent >= work or watch.over():
            break
        if not scope.consider_more(wanted.stages, more):
            break
    return answer


def _in_endless(scope: Scope, wanted: Wanted, watch: Watch, work: float, aims: Limits) -> Answer:
    """Return a shape for an endless kitchen."""
    endless = build(scope, replace(wanted, kitchen="endless", times=False))
    most = min(work * ENDLESS_SHARE, ENDLESS_WORK)
    return descend(endless, COPY_GOALS, watch, most, aims, turns=QUICKLY)


def counted_alone(
    scope: Scope, wanted: Wanted, goals: tuple[str, ...], watch: Watch, known: Answer, work: float
) -> Answer:
    """Return what is known of one family, with floors of its copies that took more work."""
    if known.proven(COPY_GOALS):
        return replace(known, work=0.0)
    proving = Proving(scope, wanted, goals, watch)
    lots = proving.lots(COPY_GOALS, work, known.floors)
    return replace(known, floors=lots.floors, work=lots.work)


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
    """Return the plan of one family by itself as good as the work allows, with what it proves.

    At first as many batches are considered as plans have that stand at the floors of all counts.
    If there is no such plan, as many as those have that are better than what was found; and if even
    more could spare copies, more.
    """
    answer = replace(known, work=0.0)
    counts = tuple(takewhile(COUNT_GOALS.__contains__, goals))
    limits = {goal: known.floors[goal] for goal in counts if goal in known.floors}
    for _ in range(TRIES):
        spent = answer.work
        answer, told = _proved(scope, wanted, goals, watch, known, answer, work - spent, limits)
        answer.work += spent
        is_open = any(answer.floors.get(goal, 0) < told.get(goal, 0) for goal in counts)
        if not is_open or answer.values is None or answer.work >= work or watch.over():
            break
        before, limits = limits, _limits(counts, answer)
        if limits == before and not scope.consider_more(wanted.stages):
            break
    return answer


def _proved(
    scope: Scope,
    wanted: Wanted,
    goals: tuple[str, ...],
    watch: Watch,
    known: Answer,
    begin: Answer,
    work: float,
    limits: Limits,
) -> tuple[Answer, Limits]:
    """Return the best answer with what it proves, and what it told for the batches considered."""
    proving = Proving(scope, wanted, goals, watch)
    narrow, is_sure = scope, False
    if proving.is_cut:
        narrow, is_sure = proving.narrowed(limits, work * NARROWING_SHARE)
    model, every = build(narrow, wanted), (*goals, "early_min")
    left = work - proving.work
    answer = descend(model, every, watch, left, known.floors, begin.values, begin)
    told = answer.floors
    proving.scope = narrow
    answer.floors = proving.true_floors(answer, known.floors, limits if is_sure else None)
    answer.work += proving.work
    return answer, told


def _limits(counts: tuple[str, ...], known: Answer) -> dict[str, int]:
    """Return within which counts every plan keeps that is better than a known one."""
    limits: dict[str, int] = {}
    for goal in counts:
        limits[goal] = known.figures[goal]
        if limits[goal] != known.floors.get(goal):
            break
    return limits


def _in_kitchen(
    scope: Scope, wanted: Wanted, watch: Watch, shape: Answer, work: float, aims: Limits
) -> Answer:
    """Return a plan of a shape in the empty kitchen, else of another shape."""
    family = frozenset(key[0] for key in wanted.stages)
    return Fitting(scope, watch).fitted(wanted, shape, family, aims, work)
