"""Changes tried out: first on what clashes alone, then with the plan of the whole changed day."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from pydantic import ValidationError

from app.planning.audit import audit
from app.planning.blockers.asking import Asking
from app.planning.blockers.case import Case
from app.planning.blockers.clash import Clash
from app.planning.blockers.deciding import Counts, Decider
from app.planning.day import Day
from app.planning.plan import Lack, Plan
from app.planning.remedies.mended import counted, mended_for
from app.planning.remedies.offer import Change, DayFile, Offer
from app.planning.remedies.patch import NotPatched, patched
from app.planning.solve import solve
from app.planning.watch import Watch

# What is counted, about a second each: for looking at a change, for mending a plan by it, and for
# what the solver counts itself then.
LOOKING, PUTTING, SOLVING = 0.004, 0.35, 12.0
PLAN_WORK = 3.0
PROVEN_WORK = 0.2
MENDED_WORK, WIDER = 0.25, 2
SMALL_USES = 12
MORE_TRIES = (7, 31, 120, 480)
FEW_TRIES = (7, 31, 480)
NEAR_ENOUGH = 5


@dataclass(frozen=True)
class Shown:
    """A change, the audited plan that shows it to work, and the least of the offer it is of."""

    change: Change
    plan: Plan
    least: Change


class Trying:
    """Tries changes of one day.

    Parameters
    ----------
    file
        The day.
    plan
        Its best plan, which lacks something.
    watch
        The clock, the stop button and the listener.
    work
        Counted work in all.

    With `widely`, more of a larger day than what clashes is planned anew.
    """

    def __init__(self, file: DayFile, plan: Plan, watch: Watch, work: float) -> None:
        self.file, self.plan, self.watch = file, plan, watch
        self.decider = Decider(watch, work)
        self.backups = plan.objective.unmet == 0
        self.is_small = len(plan.uses) <= SMALL_USES
        self.case = Case(file.day, self.backups)
        self.widely = False
        self._plans: dict[str, Plan | None] = {}
        self._partly: list[tuple[Change, Plan]] = []

    def over(self) -> bool:
        """Tell whether nothing more can be tried."""
        return self.decider.over()

    def least(self, offer: Offer, clash: Clash) -> Shown | None:
        """Return the least change of an offer that works, if one does.

        That less does not do is proven for what clashes, the step before the one that is told. On
        a larger day, where other things may stand in the way too, it is told within NEAR_ENOUGH of
        the least that does while those stay as they are planned; and where nothing serves all that
        clashes, what serves most of it.
        """
        found = (self._best_of(each, clash) for each in (offer, *offer.others))
        return next((shown for shown in found if shown is not None), None)

    def _best_of(self, offer: Offer, clash: Clash) -> Shown | None:
        self._partly.clear()
        shown = self._least_of(offer, clash)
        if shown is not None or self.is_small or not self._partly:
            return shown
        change, plan = min(self._partly, key=lambda each: self._lacking(each[1]))
        told = offer.worded(change, plan)
        return None if told is None else Shown(told, plan, offer.at(1))

    def _least_of(self, offer: Offer, clash: Clash) -> Shown | None:
        if offer.grows and not self._resolves(offer.at(offer.most), clash):
            return None
        first = _least(offer.most, lambda n: self._resolves(offer.at(n), clash))
        if first is None:
            return None
        failed, left = first - 1, -1
        for more in self._tries(offer):
            number = min(first + more, offer.most)
            if number == failed or self.over():
                return None
            if self._works(offer.at(number), clash):
                break
            before, left = left, self._left(offer.at(number), clash)
            if before == left < self._lacking(self.plan) and not self.is_small:
                return None  # more of it gains nothing more
            failed = number
        else:
            return None
        while number - failed > (1 if self.is_small else NEAR_ENOUGH):
            middle = (failed + number) // 2
            if self._works(offer.at(middle), clash):
                number = middle
            else:
                failed = middle
        return self._shown(offer, number, clash)

    def _tries(self, offer: Offer) -> Iterator[int]:
        """Yield how much beyond the first guess is tried.

        Of what grows, twice as much in turn then, unless part of a larger day's clash is served.
        """
        yield 0
        yield from MORE_TRIES if self.is_small else FEW_TRIES
        more = MORE_TRIES[-1]
        while offer.grows and more < offer.most and (self.is_small or not self._partly):
            more *= 2
            yield more

    def _shown(self, offer: Offer, number: int, clash: Clash) -> Shown | None:
        change = offer.at(number)
        plan = self._works(change, clash)
        if plan is None:
            return None
        smaller = offer.tightened(plan)
        if smaller is not None and (better := self._works(smaller, clash)) is not None:
            change, plan = smaller, better
        told = offer.worded(change, plan)
        return None if told is None else Shown(told, plan, offer.at(1))

    def _changed_for(self, change: Change, shown: frozenset[str]) -> Day | None:
        """Return the changed day of some demonstrations alone, whose other faults do not matter."""
        try:
            document = patched(self.file.document, change.operations)
            some = {
                "demonstrations": [
                    each for each in document["demonstrations"] if each["id"] in shown
                ],
                "runs": [run for run in document["runs"] if run["demonstration"] in shown],
                "stock": [
                    each for each in document.get("stock", ()) if each["demonstration"] in shown
                ],
            }
            return Day.model_validate(document | some)
        except (NotPatched, ValidationError):
            return None

    def _resolves(self, change: Change, clash: Clash) -> bool:
        """Tell whether the needs of a clash can be met together in the changed day.

        The kitchen and its shelves count where the clash is about them: this is a first look. Of
        what was counted there is too little for more than can be asked about.
        """
        if clash.is_counted:
            return True
        needs = (*clash.needs, *clash.also)
        day = self._changed_for(change, self.case.demonstrations(needs))
        if day is None or self.over():
            return False
        self.decider.work -= LOOKING
        case = Case(day, self.backups)
        others = case.beside(needs)
        if not any(fact.kind == "shelf" for fact in clash.facts):
            others = [fact for fact in others if fact.kind != "shelf"]
        kept, counts = [*needs, *others], Counts.NOTHING if clash.anyway else Counts.ALL
        return Asking(case, self.decider).possible(kept, counts=counts) is True

    def _works(self, change: Change, clash: Clash) -> Plan | None:
        """Return the plan of the changed day, if it serves the clash and lacks less than before."""
        plan = self._planned(change, clash)
        if plan is None or not self._is_better(plan):
            return None
        lacking = {(lack.run, lack.beat, lack.stage) for lack in self._lacks(plan)}
        served = {need.ids for need in (*clash.needs, *clash.also)}
        if not lacking & served:
            return plan
        if served - lacking:
            self._partly.append((change, plan))
        return None

    def _left(self, change: Change, clash: Clash) -> int:
        """Return how much lacks in the plan of a changed day; if there is none, as before."""
        plan = self._planned(change, clash)
        return self._lacking(self.plan if plan is None else plan)

    def _is_better(self, plan: Plan) -> bool:
        if self.backups and plan.objective.unmet:
            return False
        return self._lacking(plan) < self._lacking(self.plan)

    def _lacking(self, plan: Plan) -> int:
        """Return how many copies lack; how many backups, if only these lacked before."""
        return plan.objective.unbacked if self.backups else plan.objective.unmet

    def _lacks(self, plan: Plan) -> list[Lack]:
        return [lack for lack in plan.unmet if self.backups or lack.kind == "copies"]

    def _planned(self, change: Change, clash: Clash) -> Plan | None:
        """Return the audited plan of the changed day."""
        runs = {need.ids[0] for need in (*clash.needs, *clash.also)}
        key = f"{sorted(runs)} {self.widely} {clash.lacks_room} {change.operations}"
        if key not in self._plans:
            day = self.file.changed(change)
            if day is None or self.over():
                return None
            plan = self._solved(day) if self.is_small else self._mended(day, runs, clash.lacks_room)
            self._plans[key] = None if audit(day, plan) else plan
        return self._plans[key]

    def _solved(self, day: Day) -> Plan:
        """Return the best plan of a small day."""
        work = min(PLAN_WORK, self.decider.work)
        plan = solve(day, work=work, stop=self.watch.over)
        self.decider.work -= work if plan.stopped_by else PROVEN_WORK
        return plan

    def _mended(self, day: Day, runs: set[str], crowded: bool) -> Plan:
        """Return a plan of a larger day, in which all that can stay does."""
        work = MENDED_WORK * (WIDER if self.widely else 1)
        watch = counted(self.watch, min(work, self.decider.work / SOLVING))
        plan = mended_for(day, self.plan, runs, watch, widely=self.widely, crowded=crowded)
        self.decider.work -= PUTTING + SOLVING * watch.total()
        return plan


def _least(most: int, holds: Callable[[int], bool]) -> int | None:
    """Return the least number from 1 to `most` for which something holds, if it does from there."""
    failed, number = 0, 1
    while not holds(number):
        if number == most:
            return None
        failed, number = number, min(2 * number, most)
    while number - failed > 1:
        middle = (failed + number) // 2
        if holds(middle):
            number = middle
        else:
            failed = middle
    return number
