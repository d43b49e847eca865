"""The rough count: how many copies a demonstration needs at least, in a kitchen without limits.

As many hands, ovens and shelves as anybody likes, and as much time before the first run as the
work takes. What the food forbids stays: how long copies keep, what each is made from, what is
lost, what must not have been on camera, what may be used again and when it is back.
"""

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

from app.planning.codes import codes_of
from app.planning.day import Cook, Day, Demonstration, Kitchen, Run, Stage
from app.planning.draft import Draft
from app.planning.fewest import Asked, Fewest, IsOver, Stopped, fewest
from app.planning.latest import put_late
from app.planning.minutes import Clock
from app.planning.model.goals import cost_scale
from app.planning.naming import name_all
from app.planning.needs import StageKey
from app.planning.plan import GOALS, Bounds, Objective, Plan
from app.planning.reading import faults_of_day
from app.planning.scope import Scope
from app.planning.watch import never
from app.planning.writing import batches_of, copies_of, uses_of

LONGEST_BEFORE_MIN = 14 * 1440
KEPT = 64
# Work is counted, so the answer is always the same; the first is a tenth of a second's, which most
# counts need, and tells a bound where it does not suffice.
HASTE, MOST_WORK = 0.025, 4.0
State = Literal["exact", "within", "faulty", "none"]


@dataclass(frozen=True)
class Supposed:
    """A plan that the count supposes, in a kitchen without limits; its batches are late ones."""

    day: Day
    plan: Plan


@dataclass(frozen=True)
class Rough:
    """The count: copies started of each stage, what they cost in all, what needs lack all the same.

    `state` is *exact* where a plan costs this much in such a kitchen and it is proven that none
    costs less in any, *within* where `least` is all that is proven (nothing is `made` where no plan
    is known yet), *faulty* where the demonstration is not whole yet, *none* where it has nothing to
    count. `imagined` tells that it has no runs, and one take was counted. `supposed` is how the
    copies go, where a plan is known.
    """

    state: State
    made: tuple[tuple[StageKey, int], ...] = ()
    cost: float = 0
    least: float = 0
    lacks: int = 0
    imagined: bool = False
    supposed: Supposed | None = field(default=None, compare=False)


@dataclass(frozen=True)
class _Limit:
    """How much work a count may take, and who may stop it: the same count, if it is not stopped."""

    work: float
    is_over: IsOver = field(default=never, compare=False)


def rough_count(
    day: Day, demonstration: str, *, in_haste: bool = False, is_over: IsOver = never
) -> Rough:
    """Return the fewest copies, by what they cost, for a demonstration with all that it shares.

    Parameters
    ----------
    day
        A day, whole or not: only what the demonstration is made of, and its runs, are looked at.
    demonstration
        Its id.
    in_haste
        Whether a bound will do for the moment where the proof takes longer than people wait.
    is_over
        Tells whether nobody waits for the count any more: then it is what is known in haste.

    Returns
    -------
    Rough
        The counts of a plan that lacks nothing but the kitchen: as many batches as anybody likes,
        each at its minute. No plan undercuts its cost; one in a real kitchen may have to make more.
    """
    alone, imagined = unlimited(day, demonstration)
    if not alone.runs:
        return Rough("none")
    hasty = _counted(alone, _Limit(HASTE))
    found = hasty
    # What is proven already need not be proven again.
    if hasty.state == "within" and not in_haste:
        with suppress(Stopped):
            found = _counted(alone, _Limit(MOST_WORK, is_over))
    return replace(found, imagined=imagined)


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
    family = _without_equipment(day, kin)
    begin, end = min(first, *starts) - LONGEST_BEFORE_MIN, max(starts) + LONGEST_BEFORE_MIN
    alone = day.model_copy(
        update={
            "prep_from": clock.text(begin),
            "kitchen": _endless(family, clock.text(begin), clock.text(end)),
            "demonstrations": family,
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


def _without_equipment(day: Day, kin: frozenset[str]) -> tuple[Demonstration, ...]:
    """Return demonstrations that hold no equipment: there is more than enough of it."""
    codes = codes_of(day)
    return tuple(
        home.model_copy(
            update={
                "code": codes[home.id],
                "stages": tuple(_with_bare_ways(stage) for stage in home.stages),
            }
        )
        for home in day.demonstrations
        if home.id in kin
    )


def _with_bare_ways(stage: Stage) -> Stage:
    ways = [
        way.model_copy(
            update={
                "phases": tuple(each.model_copy(update={"equipment": ()}) for each in way.phases)
            }
        )
        for way in stage.ways
    ]
    return stage.model_copy(update={"ways": tuple(ways)})


def _endless(demonstrations: Iterable[Demonstration], begin: str, end: str) -> Kitchen:
    """Return a kitchen with all hands and skills that some demonstrations ask for."""
    stages = (stage for each in demonstrations for stage in each.stages)
    phases = [phase for stage in stages for way in stage.ways for phase in way.phases]
    skills = tuple(sorted({phase.skill for phase in phases if phase.skill is not None}))
    hands = max((phase.hands for phase in phases), default=1)
    return Kitchen(
        crew=tuple(
            Cook(id=f"cook-{at}", shifts=((begin, end),), skills=skills) for at in range(hands)
        ),
    )


@lru_cache(maxsize=KEPT)
def _counted(alone: Day, limit: _Limit) -> Rough:
    if faults_of_day(alone):
        return Rough("faulty")
    scope = Scope(alone)
    asked = Asked(cost_scale(scope), limit.work, is_over=limit.is_over)
    for may in (asked, replace(asked, bare=True), replace(asked, bare=True, short=True)):
        counted = fewest(scope, may)
        if counted is not None:
            return _told(scope, may, counted)
    return Rough("none")


def _told(scope: Scope, asked: Asked, counted: Fewest) -> Rough:
    found = counted.found
    if found is None:
        # What lacks at least says nothing of what a plan costs that lacks more.
        return Rough("within", least=0 if asked.bare else counted.least / asked.scale)
    cost = found.cost / asked.scale
    supposed = Supposed(scope.day, _plan(scope, found.draft))
    return Rough("exact", found.made, cost, cost, found.lacks, supposed=supposed)


def _plan(scope: Scope, draft: Draft) -> Plan:
    """Return a draft as a plan of which only copies, batches and uses are told."""
    put_late(scope, draft)
    name_all(scope, draft)
    untold = dict.fromkeys(GOALS, 0)
    return Plan(
        status="feasible",
        objective=Objective.model_validate(untold),
        bounds=Bounds(),
        batches=tuple(batches_of(scope, draft, [])),
        copies=tuple(copies_of(scope, draft, [])),
        uses=tuple(uses_of(scope, draft)),
    )
