"""How far a day is from possible: what all its needs ask for, counted against what there is.

It is no clash, since more than a few of them would have to go; but it tells what is short.
"""

from collections.abc import Collection, Iterator
from math import ceil

from app.planning.blockers.case import Case
from app.planning.blockers.crowding import Crowding
from app.planning.blockers.excess import Excess
from app.planning.blockers.facts import Fact
from app.planning.blockers.groups import Groups
from app.planning.descent import descend
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.plan import Plan
from app.planning.proving import IN_LOTS
from app.planning.scope import Scope
from app.planning.watch import Watch

# With so much work it is known about what a family takes at least; with so much, of some families.
FAMILY_WORK, HANDS_WORK = 0.03, 1.0
# Hands can hardly be short where a plan takes no more than this share of them.
BUSY = 0.5
# What would help is looked for with the needs of so many families.
FAMILIES = 4


def excesses(
    case: Case, plan: Plan, lacking: Collection[Fact], told: Collection[Fact], watch: Watch
) -> Iterator[Excess]:
    """Yield what there is too little of for all needs together but for some.

    Parameters
    ----------
    case, plan
        The day, taken apart, and the best plan of it.
    lacking
        The needs that lack something, of which it is not told why.
    told
        The needs of which it is told already that they cannot be met.
    watch
        The clock and the stop button.
    """
    needs = [need for need in case.needs if need not in told]
    scope = _with(case, needs)
    if crowd := Crowding(scope).most():
        zone, minute, slots, there = crowd
        yield Excess(zone, minute, ceil(slots), there)
    if plan.objective.hands_min > BUSY * scope.hands_until(scope.needs.end):
        hands = tuple(Fact("crew", (cook.id,), "hands") for cook in case.day.kitchen.crew)
        counted = _hands(case, scope, needs, watch)
        until, asked_min, there_min = max(counted, key=_shortest, default=(0, 0, 0))
        if asked_min > there_min:
            yield Excess(None, until, asked_min, there_min, hands, _of_most(case, lacking))


def _shortest(counted: tuple[int, int, int]) -> tuple[int, int]:
    """Return by how much hands are short up to a minute, the later one of two alike."""
    until, asked_min, there_min = counted
    return asked_min - there_min, until


def _of_most(case: Case, lacking: Collection[Fact]) -> tuple[Fact, ...]:
    """Return the needs of the families of which most lack."""
    families = sorted(Groups(case).families([*lacking]), key=len, reverse=True)
    return tuple(need for family in families[:FAMILIES] for need in family)


def _hands(
    case: Case, scope: Scope, needs: list[Fact], watch: Watch
) -> Iterator[tuple[int, int, int]]:
    """Yield each day's last use, what all up to it take of hands at least, and what there is."""
    work, known = HANDS_WORK, dict[tuple[Fact, ...], int]()
    last = {scope.clock.text(use.start)[:10]: use.start for use in scope.needs.uses}
    for until in sorted(last.values()):
        due = [need for need in needs if case.starts[need.ids] <= until]
        families = [tuple(family) for family in Groups(case).families(due)]
        for family in families:
            if family not in known and work > 0 and not watch.over():
                known[family], spent = _least_hands(_with(case, family), watch)
                work -= spent
        yield until, sum(known.get(each, 0) for each in families), scope.hands_until(until)


def _least_hands(scope: Scope, watch: Watch) -> tuple[int, float]:
    """Return the minutes of hands that a family takes at least, and the work that this took."""
    wanted = Wanted(tuple(scope.makings), cost_scale(scope), kitchen="endless", lots=True)
    model = build(scope, wanted)
    answer = descend(model, ("hands_min",), watch, FAMILY_WORK, turns=IN_LOTS)
    return answer.floors.get("hands_min", 0), answer.work


def _with(case: Case, needs: Collection[Fact]) -> Scope:
    """Return the day with some of its needs."""
    return case.eased([*needs, *case.beside(needs)])
