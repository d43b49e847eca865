"""What else could be done about an accident: each worked out to its end, audited, and told."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from app.planning.difference import Change, weight_of
from app.planning.events import Moved
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.web.jobs import PlanJob
from app.web.mending import Mends, mends_of
from app.web.words import many

SLIPS_MIN = (5, 10, 15, 20, 30, 45, 60, 90, 120)
MOST_RUNS = 2
Wait = Callable[[PlanJob], Plan | None]


@dataclass(frozen=True)
class Offer:
    """One way to go on: in words, with the plan that comes of it and what that mends.

    `moved` is what would have to be told as well.
    """

    name: str
    words: str
    mends: Mends
    plan: Plan
    moved: Moved | None = None

    @property
    def changes(self) -> tuple[Change, ...]:
        """Return what is different from the published plan."""
        return self.mends.changes(self.plan)

    @property
    def told(self) -> str:
        """Return what it costs, in words."""
        kinds = ("moved", "resized", "added", "dropped")
        changed = len(
            {batch for each in self.changes if each.kind in kinds for batch in each.batches}
        )
        lacks = [
            f"{many(self.plan.objective.unmet, 'copy', 'copies')} short"
            if self.plan.objective.unmet
            else "",
            f"{many(self.plan.objective.unbacked, 'backup')} lacking"
            if self.plan.objective.unbacked
            else "",
        ]
        of_batches = f"{many(changed, 'batch', 'batches')} of the plan changed"
        return ", ".join([each for each in lacks if each] + [of_batches])


def offers_of(
    mends: Mends, plan: Plan, by: str, wait: Wait, politeness: int = 5
) -> Iterator[Offer]:
    """Yield other ways to go on than a mended plan, each of which is better in something.

    Parameters
    ----------
    mends, plan
        What was mended, and the plan that came of it.
    by
        Who would tell what has to be told as well.
    wait
        From a job to its plan.
    politeness
        How far the children let others go first.
    """
    searcher = _Searcher(mends, plan, by, wait, politeness)
    spent = searcher.spent()
    if spent is not None:
        yield spent
    yield from searcher.slips()


class _Searcher:
    """Works out one other way after the other."""

    def __init__(self, mends: Mends, plan: Plan, by: str, wait: Wait, politeness: int) -> None:
        self.mends, self.plan, self.by, self.wait = mends, plan, by, wait
        self.politeness = politeness
        self.clock = Clock(mends.day.timezone)

    def spent(self) -> Offer | None:
        """Return what comes of using backups, where that changes less and serves as much."""
        weight = weight_of(self.mends.changes(self.plan))
        if not weight:
            return None
        mends = replace(self.mends, mender=replace(self.mends.mender, spends_backups=True))
        plan = self._mended(mends)
        if plan is None or plan.objective.unmet > self.plan.objective.unmet:
            return None
        if weight_of(mends.changes(plan)) >= weight:
            return None
        return Offer(
            "backups", "Use what stands ready as a backup, and make less anew", mends, plan
        )

    def slips(self) -> Iterator[Offer]:
        """Yield the least delay by which less lacks: of a run that came to lack copies, and before
        that of one that was added, which may have taken them.
        """
        short, before = _short(self.plan), _short(self.mends.mender.plan)
        lacking = [run for run in short if short[run] > before[run]]
        there = {run.id for run in self.mends.planned.runs}
        added = [run.id for run in self.mends.day.runs if lacking and run.id not in there]
        for run in dict.fromkeys([*added[:MOST_RUNS], *lacking[:MOST_RUNS]]):
            offer = self._least_slip(run)
            if offer is not None:
                yield offer

    def _least_slip(self, run: str) -> Offer | None:
        low, high, best = 0, len(SLIPS_MIN) - 1, None
        while low <= high:
            middle = (low + high) // 2
            offer = self._slip(run, SLIPS_MIN[middle])
            if offer is not None and offer.plan.objective.unmet < self.plan.objective.unmet:
                best, high = offer, middle - 1
            else:
                low = middle + 1
        return best

    def _slip(self, run: str, slip_min: int) -> Offer | None:
        there = self.mends.day.run(run)
        mender = self.mends.mender
        n = max((event.n or 0 for event in mender.events), default=self.mends.told) + 1
        moved = Moved(
            n=n,
            at=mender.at,
            once=f"slip-{run}-{slip_min}",
            by=self.by,
            run=run,
            starts=self.clock.text(self.clock.minute(there.starts) + slip_min),
        )
        events = (*mender.events, moved)
        mends = mends_of(
            mender.day,
            self.mends.planned,
            mender.plan,
            events,
            mender.at,
            self.mends.told,
            mender.given,
        )
        plan = self._mended(mends)
        if plan is None:
            return None
        words = f"Let {there.called} start {slip_min} min later"
        return Offer(f"slip-{run}-{slip_min}", words, mends, plan, moved)

    def _mended(self, mends: Mends) -> Plan | None:
        mender = mends.mender
        return self.wait(
            PlanJob(
                mends.day,
                solver=mender,
                events=mender.events,
                at=mender.at,
                politeness=self.politeness,
            )
        )


def _short(plan: Plan) -> Counter[str]:
    """Return how many copies each run lacks."""
    found: Counter[str] = Counter()
    for lack in plan.unmet:
        found[lack.run] += lack.count if lack.kind == "copies" else 0
    return found
