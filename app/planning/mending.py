"""The search for the rest of a day that is under way: as little is planned anew as will do."""

from collections.abc import Callable, Iterable, Iterator, Mapping

from app.planning.families import kin_in
from app.planning.frozen import frozen_of
from app.planning.happened import Happened
from app.planning.minutes import Clock
from app.planning.model.build import Wanted
from app.planning.needs import Use
from app.planning.other_hands import OtherHands
from app.planning.part import Part
from app.planning.plan import Plan
from app.planning.repair import Repair
from app.planning.scope import Scope
from app.planning.solve import nobody, still
from app.planning.touched import touched
from app.planning.watch import Progress, Watch, never

LEFT_FREE = (0, 1, 2, 4, 8, 10**6)
FIRST = ("unmet", "unbacked", "changes", "cost")
SHARE_FOR_MORE = 0.1
MOST_FOR_MORE = 0.5
# What it counts to ask for more at all.
PUT_WORK = 0.1
BEGUN_AGAIN = 2


def mend(
    state: Happened,
    plan: Plan,
    *,
    spends_backups: bool = False,
    given: Mapping[str, int] | None = None,
    seconds: float | None = None,
    now: Callable[[], float] = still,
    stop: Callable[[], bool] = never,
    tell: Callable[[Progress], None] = nobody,
) -> Plan:
    """Return the best plan for the rest of a day that is under way.

    Parameters
    ----------
    state, plan
        The state now, of the published plan.
    spends_backups
        Whether backups may be spent so that less changes.
    given
        The highest numbers of names that plans before this one gave: no label means two things.
    seconds, now, stop, tell
        As for `solve`.
    """
    return Mending(state, plan, Watch(seconds, now, stop, tell), spends_backups, given).best()


class Mending:
    """One search.

    Parameters
    ----------
    state, plan
        The state now, of the published plan.
    watch
        The limits, and who is told.
    spends_backups
        Whether backups may be spent so that less changes.
    given
        The highest numbers of names that plans before this one gave.
    """

    def __init__(
        self,
        state: Happened,
        plan: Plan,
        watch: Watch,
        spends_backups: bool = False,
        given: Mapping[str, int] | None = None,
    ) -> None:
        self.spends_backups, self.given = spends_backups, given or {}
        self.state, self.plan, self.watch, self.day = state, plan, watch, state.day
        self.frozen = frozen_of(state, plan)
        self.scope = Scope(state.day)
        self.needs = self.scope.needs
        self.kin = kin_in(state.day)
        self.everybody = frozenset(self.kin)
        self.clock = Clock(state.day.timezone)
        self.hands = OtherHands(state, plan, self.frozen)
        self.first: list[frozenset[str]] = []
        self.hemmed_in: list[frozenset[str]] = []
        self._take(self.hands.given())
        self.goals = (*FIRST, "hands_min", "waiting_min", "early_min")
        if state.day.policy.prefer == "fresh":
            self.goals = (*FIRST, "waiting_min", "hands_min", "early_min")

    def _take(self, staffed: Plan) -> None:
        """Take the published plan as it is with other hands; see what of it can't stay."""
        self.staffed = staffed
        self.touched = touched(self.state, staffed, self.frozen, self.needs)

    def best(self) -> Plan:
        """Return the best plan found.

        Where a family comes to lack copies as others were planned before it, all is begun again
        with that one first, and with all whom somebody is missing for, instead of those alone who
        are left with nobody if all others change hands. What lacks least holds.
        """
        best = self.mended()
        for _ in range(BEGUN_AGAIN):
            again = [family for family in self.hemmed_in if family not in self.first]
            if not again or self.watch.over():
                break
            self.first.insert(0, again[0])
            self._take(self.plan)
            best = min(best, self.mended(), key=_lacks)
        return best

    def mended(self) -> Plan:
        """Return a plan; room is left free on the shelves until all has its place."""
        self.hemmed_in = []
        free = self._with_kin(self.touched.demonstrations)
        part = self._one_after_another(free, frozenset(), 0)
        zones: frozenset[str] = frozenset()
        for slots in LEFT_FREE:
            full = part.settled.full
            if not full:
                break
            zones |= full
            free |= self._with_kin(part.settled.waiting_in(full))
            part = self._one_after_another(free, zones, slots)
        return self._with_more(part, free)

    def repair(self, scope: Scope, wanted: Wanted, share: float) -> Repair:
        """Return the search for a part of the day, with a share of the usual work."""
        return Repair(scope, wanted, self.goals, self.watch, share, self.spends_backups)

    def _one_after_another(self, free: frozenset[str], zones: frozenset[str], slots: int) -> Part:
        """Plan the free families anew, those first that are needed first, or lacked something."""
        part = Part(self, self.staffed, frozenset(), free)
        pending = free
        for number, family in enumerate(self._families(free)):
            pending -= family
            rooms = tuple(
                part.settled.room(zone, slots, family | pending) for zone in sorted(zones)
            )
            part = Part(self, part.so_far(), family, pending, rooms)
            is_behind = number > 0 or (self.hands.left and self.staffed is not self.plan)
            if is_behind and self._lacks_more(part, family):
                self.hemmed_in.append(family)
        return part

    def _lacks_more(self, part: Part, family: frozenset[str]) -> bool:
        """Tell whether a family lacks more copies than it was published with."""
        of = {run.id: run.demonstration for run in self.state.day.runs}
        was = sum(
            lack.count
            for lack in self.plan.unmet
            if lack.kind == "copies" and of.get(lack.run) in family
        )
        return part.answer.figures["unmet"] > was

    def _with_more(self, part: Part, free: frozenset[str]) -> Plan:
        """Return the plan with some of what lacked before, if it is to be had for little work.

        Nothing happened in those families, so what lacked probably lacks again.
        """
        plan, work = part.written(), 0.0
        for family in self._families(self.touched.short - free):
            if work >= MOST_FOR_MORE or family & free or self.watch.over():
                break
            part = Part(self, plan, family, frozenset(), share=SHARE_FOR_MORE)
            work += PUT_WORK + part.answer.work
            if not part.settled.full:
                plan = min(plan, part.written(), key=_lacks)
        return plan

    def _families(self, free: frozenset[str]) -> list[frozenset[str]]:
        found = {self._with_kin({each}) for each in sorted(free)}

        def first_due(family: frozenset[str]) -> tuple[int, int, list[str]]:
            dues = (use.due for use in self._to_come() if use.stage[0] in family)
            place = self.first.index(family) if family in self.first else len(self.first)
            return place, min(dues, default=0), sorted(family)

        return sorted(found, key=first_due)

    def _to_come(self) -> Iterator[Use]:
        return (use for use in self.needs.uses if use.at not in self.state.aired)

    def _with_kin(self, members: Iterable[str]) -> frozenset[str]:
        """Return demonstrations with all that they share components with."""
        return frozenset().union(*(self.kin[each] for each in members))


def _lacks(plan: Plan) -> tuple[int, int]:
    return plan.objective.unmet, plan.objective.unbacked
