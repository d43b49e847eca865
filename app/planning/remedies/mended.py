"""The plan that lacks something, mended for a changed day: quick on a day of any size."""

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.happened import happened
from app.planning.mending import Mending
from app.planning.minutes import Clock
from app.planning.model.build import Wanted
from app.planning.naming import name_all
from app.planning.part import Part
from app.planning.plan import Plan
from app.planning.repair import Repair
from app.planning.scope import Scope
from app.planning.solve import nobody
from app.planning.watch import Watch

HOURS_BEFORE_MIN, MOST_OTHERS = 120, 2


@dataclass
class Counted(Watch):
    """A watch that ends the work when so much of it is done, counted as solvers count it."""

    most: float = 1.0
    spent: float = 0.0
    asked: cp_model.CpSolver | None = None

    def over(self) -> bool:
        """Tell whether the work must end now; asked within a solve, too."""
        return super().over() or self.spent >= self.most

    def limit(self, solver: cp_model.CpSolver, work: float) -> None:
        """Set the limit of one solve: no more than is left in all."""
        super().limit(solver, min(work, self.most - self.total()))
        self.asked = solver

    def total(self) -> float:
        """Return the work of all solves, none of which is under way."""
        if self.asked is not None:
            self.spent += self.asked.response_proto.deterministic_time
            self.asked = None
        return self.spent


def counted(watch: Watch, most: float) -> Counted:
    """Return a watch for a part of some work: it stops with the whole, and tells nobody."""
    left_s = None if watch.seconds is None else max(watch.seconds - watch.elapsed_s, 0.0)
    return Counted(left_s, watch.now, watch.over, nobody, most=most)


def mended_for(
    day: Day,
    plan: Plan,
    runs: Collection[str],
    watch: Watch,
    *,
    widely: bool = False,
    crowded: bool = False,
) -> Plan:
    """Return a plan of a changed day in which all stays as it was but for what has to change.

    Parameters
    ----------
    day
        The changed day, of which nothing has begun.
    plan
        The plan of the day as it was.
    runs
        Those that are to be better served: their demonstrations are planned anew.
    watch
        The clock, the stop button and the listener.
    widely
        Whether those are planned anew, too, who keep the crew busiest before these runs.
    crowded
        Whether shelves are what is short: the others keep their places on them then.
    """
    before = Clock(day.timezone).minute(day.prep_from) - 1
    search = _Anew(happened(day, plan, (), before), plan, watch)
    search.free(runs, _busiest_before(day, plan, runs) if widely else ())
    search.beside_all_others() if crowded else search.mended()
    return search.named().model_copy(update={"day": fingerprint(day), "number": plan.number})


def _busiest_before(day: Day, plan: Plan, runs: Collection[str]) -> list[str]:
    """Return the demonstrations that keep most hands in the hours before some runs."""
    minute = Clock(day.timezone).minute
    starts = [minute(day.run(run).starts) for run in runs]
    first, last = min(starts) - HOURS_BEFORE_MIN, max(starts)
    hands_min: Counter[str] = Counter()
    for batch in plan.batches:
        for phase in batch.phases:
            since, until = max(first, minute(phase.starts)), min(last, minute(phase.ends))
            hands_min[batch.demonstration] += len(phase.crew) * max(0, until - since)
    mine = {day.run(run).demonstration for run in runs}
    busiest = [each for each, _ in hands_min.most_common() if each not in mine]
    return busiest[:MOST_OTHERS]


class _Anew(Mending):
    """A search that frees some demonstrations, and those that cannot stay as they are."""

    last: Part
    runs: frozenset[str]
    others: frozenset[str]

    def free(self, runs: Collection[str], others: Collection[str]) -> None:
        """Have the demonstrations of runs planned anew, and some others; what other runs lack may
        lack still.
        """
        touched, lacking = self.touched, {each.run for each in self.plan.unmet}
        self.runs = frozenset(each.id for each in self.day.runs if each.id not in lacking)
        self.runs |= frozenset(runs)
        shown = frozenset(self.day.run(run).demonstration for run in runs)
        amiss = frozenset(
            each.demonstration
            for things in (self.plan.batches, self.plan.copies)
            for each in things
            if each.id in touched.batches | touched.copies
        )
        self.others = frozenset(others) - shown - amiss
        self.touched = replace(touched, demonstrations=shown | amiss | self.others)

    def beside_all_others(self) -> None:
        """Plan the free demonstrations anew in what the others leave of all shelves, if it goes."""
        zones = frozenset(shelf.zone for shelf in self.day.kitchen.shelves)
        part = self._one_after_another(self._with_kin(self.touched.demonstrations), zones, 0)
        if part.settled.full:
            self.mended()

    def repair(self, scope: Scope, wanted: Wanted, share: float) -> Repair:
        """Return a search that asks whether the runs can be served, whatever changes by it."""
        return replace(super().repair(scope, wanted, share), runs=self.runs)

    def _with_more(self, part: Part, free: frozenset[str]) -> Plan:
        """Leave what other runs lack: it is not asked for. Nor is the plan, before it is named."""
        return self.plan

    def _families(self, free: frozenset[str]) -> list[frozenset[str]]:
        """Return the free families: those who make way come last."""
        return sorted(super()._families(free), key=lambda family: family <= self.others)

    def named(self) -> Plan:
        """Return the plan, with names in order of time as in any first plan."""
        name_all(self.scope, self.last.draft)
        return self.last.written()

    def _one_after_another(self, free: frozenset[str], zones: frozenset[str], slots: int) -> Part:
        self.last = super()._one_after_another(free, zones, slots)
        return self.last
