"""How far a day is from possible: what all its needs ask for, counted against what there is.

It is no clash, since more than a few of them would have to go; but it tells what is short.
"""

from collections.abc import Collection, Iterator
from math import ceil

from app.planning.blockers.case import Case
from app.planning.blockers.crowding import Crowding
from app.planning.blockers.excess import Excess
from app.planning.blockers.facts import Fact, facts_of
from app.planning.blockers.groups import Groups
from app.planning.descent import descend
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.plan import Plan
from app.planning.proving import IN_LOTS
from app.planning.scope import Scope
from app.planning.watch import Watch

# With so much work it is known about what a family takes at least; with so much, of some families.
FAMILY_WORK, HANDS_WORK = 0.05, 1.5
# Hands can hardly be short where a plan takes no more than this share of them.
BUSY = 0.5


def excesses(case: Case, plan: Plan, told: Collection[Fact], watch: Watch) -> Iterator[Excess]:
    """Yield what there is too little of for all needs together but for some.

    Parameters
    ----------
    case, plan
        The day, taken apart, and the best plan of it.
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
        found = [each for each in _hands(case, needs, watch) if each.asked > each.there]
        yield from sorted(found, key=lambda each: each.asked - each.there)[-1:]


def _hands(case: Case, needs: list[Fact], watch: Watch) -> Iterator[Excess]:
    """Yield for each day what all uses up to its last one take of hands, at least."""
    work, known = HANDS_WORK, dict[tuple[Fact, ...], int]()
    scope = _with(case, needs)
    last = {scope.clock.text(use.start)[:10]: use.start for use in scope.needs.uses}
    for until in sorted(last.values()):
        due = [need for need in needs if case.starts[need.ids] <= until]
        for family in Groups(case).families(due):
            if tuple(family) not in known and work > 0 and not watch.over():
                known[tuple(family)], spent = _least_hands(_with(case, family), watch)
                work -= spent
        asked_min = sum(known.get(tuple(family), 0) for family in Groups(case).families(due))
        yield Excess(None, until, asked_min, scope.hands_until(until))


def _least_hands(scope: Scope, watch: Watch) -> tuple[int, float]:
    """Return the minutes of hands that a family takes at least, and the work that this took."""
    wanted = Wanted(tuple(scope.makings), cost_scale(scope), kitchen="endless", lots=True)
    model = build(scope, wanted)
    answer = descend(model, ("hands_min",), watch, FAMILY_WORK, turns=IN_LOTS)
    return answer.floors.get("hands_min", 0), answer.work


def _with(case: Case, needs: Collection[Fact]) -> Scope:
    """Return the day with some of its needs."""
    return case.eased([*needs, *facts_of(case.day, case.demonstrations(needs))])
