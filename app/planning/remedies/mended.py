"""The plan that lacks something, mended for a changed day: quick on a day of any size."""

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


def mended_for(day: Day, plan: Plan, runs: Collection[str], watch: Watch) -> Plan:
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
    """
    before = Clock(day.timezone).minute(day.prep_from) - 1
    search = _Anew(happened(day, plan, (), before), plan, watch)
    search.free(runs)
    search.mended()
    return search.named().model_copy(update={"day": fingerprint(day), "number": plan.number})


class _Anew(Mending):
    """A search that frees some demonstrations, and those that cannot stay as they are."""

    last: Part
    runs: frozenset[str]

    def free(self, runs: Collection[str]) -> None:
        """Have the demonstrations of runs planned anew; what other runs lack may lack still."""
        touched, lacking = self.touched, {each.run for each in self.plan.unmet}
        self.runs = frozenset(each.id for each in self.day.runs if each.id not in lacking)
        self.runs |= frozenset(runs)
        shown = {self.day.run(run).demonstration for run in runs}
        amiss = {
            each.demonstration
            for things in (self.plan.batches, self.plan.copies)
            for each in things
            if each.id in touched.batches | touched.copies
        }
        self.touched = replace(touched, demonstrations=frozenset(shown | amiss))

    def repair(self, scope: Scope, wanted: Wanted, share: float) -> Repair:
        """Return a search that asks whether the runs can be served, whatever changes by it."""
        return replace(super().repair(scope, wanted, share), runs=self.runs)

    def _with_more(self, plan: Plan, free: frozenset[str]) -> Plan:
        """Leave what other runs lack: it is not asked for."""
        return plan

    def named(self) -> Plan:
        """Return the plan, with names in order of time as in any first plan."""
        name_all(self.scope, self.last.draft)
        return self.last.written()

    def _one_after_another(self, free: frozenset[str], zones: frozenset[str], slots: int) -> Part:
        self.last = super()._one_after_another(free, zones, slots)
        return self.last
