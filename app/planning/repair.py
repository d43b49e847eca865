"""Some demonstrations planned anew on the day, as near to what was published as will do."""

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, replace

from app.planning.descent import Answer, descend
from app.planning.model.build import Model, Wanted, build
from app.planning.model.goals import LACKS
from app.planning.recalled import Recalled, near, nothing_of
from app.planning.scope import Scope
from app.planning.watch import Watch

SALVAGE_WORK = 2.0
NEAR_WORK = 0.6
TIMES_WORK = 0.1
# What lacked when the plan was published probably lacks again.
AGAIN = 0.1
PUBLISHED_WORK, FLOOR_WORK, MORE_WORK = 0.1, 0.1, 0.15
FIRST = (LACKS, "changes")
SPENDING = ("unmet", "changes", "unbacked")


@dataclass(frozen=True)
class Repair:
    """One search: what is wanted of a scope, by which goals, within which limits.

    `share` is how much of the usual work it may take. Where backups are spent, as little as will
    do changes, whatever backups then lack. Where it is asked whether certain `runs` can be served,
    it does not matter what changes by it, nor how fresh anything is.

    First it is seen whether all can stay as it was published. Else that is salvaged: batches may
    move, shrink or be dropped. For each run that lacks something then, what serves it is planned
    anew, unless no kitchen could serve more. At last the minutes are set.
    """

    scope: Scope
    wanted: Wanted
    goals: tuple[str, ...]
    watch: Watch
    share: float = 1.0
    spends_backups: bool = False
    runs: frozenset[str] | None = None

    @property
    def first(self) -> tuple[str, ...]:
        """Return the goals that come before all others."""
        if self.runs is not None:
            return (LACKS,)
        return SPENDING if self.spends_backups else FIRST

    def answer(self, recalled: Recalled) -> Answer:
        """Return the best answer found.

        Parameters
        ----------
        recalled
            The published plan as values of the model.
        """
        free = build(self.scope, self.wanted)
        begin = self._as_published(free, recalled)
        floors = {} if _serves(begin) else self._floor()
        best = self._salvaged(free, recalled, begin, floors)
        lacked = {each.run for each in recalled.plan.unmet}
        for run in self._lacking(best):
            if best.figures[LACKS] <= floors.get(LACKS, 0):
                break
            held = near(free, best.values or {}, run)
            is_old = run in lacked and self.runs is None and self.share == 1.0
            work = NEAR_WORK * (AGAIN if is_old else 1.0)
            found = self._held(held, (*self.first, "cost"), work, begin=best, floors=floors)
            if found.rank((*self.first, "cost")) < best.rank((*self.first, "cost")):
                best = found
        if self.runs is not None or not best.figures["changes"]:
            return best
        times = tuple(goal for goal in self.goals if goal in ("waiting_min", "early_min"))
        known = {goal: best.figures[goal] for goal in self.first}
        return self._held(best.shaped, (*self.first, *times), TIMES_WORK, begin=best, floors=known)

    def _as_published(self, free: Model, recalled: Recalled) -> Answer:
        """Return the answer in which all stays as it was published, if that can be."""
        model = build(self.scope, self.wanted, recalled.exactly(free))
        for name, variable in model.sheet.variables.items():
            if name.endswith(" starts") and name in recalled.values:
                model.sheet.model.add(variable == recalled.values[name])
        return descend(model, self.first, self.watch, PUBLISHED_WORK, hint=recalled.values)

    def _floor(self) -> dict[str, int]:
        """Return how much lacks in any kitchen, with as many batches as anybody likes."""
        if LACKS not in self.first:
            return {}
        first_plan = copy(self.scope)
        first_plan.published = None
        anywhere = replace(self.wanted, kitchen="endless", shelves=frozenset(), times=False)
        model = build(first_plan, replace(anywhere, lots=True))
        least = descend(model, (LACKS,), self.watch, FLOOR_WORK)
        return {LACKS: least.floors.get(LACKS, 0)}

    def _salvaged(
        self, free: Model, recalled: Recalled, begin: Answer, floors: Mapping[str, int]
    ) -> Answer:
        """Return what can be kept of what was published, if need be nothing."""
        if begin.values is not None and begin.figures[LACKS] <= floors.get(LACKS, 0):
            return begin
        held = recalled.salvaged(free)
        if begin.values is not None:
            return self._held(held, self.first, MORE_WORK, begin=begin, floors=floors)
        best = self._held(held, self.first, SALVAGE_WORK, recalled.values, floors=floors)
        if best.values is None:
            nothing = self._held(nothing_of(free), self.first, SALVAGE_WORK)
            best = self._held(held, self.first, SALVAGE_WORK, begin=nothing, floors=floors)
        return best

    def _held(
        self,
        held: Mapping[str, int],
        goals: tuple[str, ...],
        work: float,
        hint: Mapping[str, int] | None = None,
        begin: Answer | None = None,
        floors: Mapping[str, int] | None = None,
    ) -> Answer:
        model = build(self.scope, self.wanted, held)
        return descend(model, goals, self.watch, work * self.share, floors, hint, begin)

    def _lacking(self, answer: Answer) -> list[str]:
        """Return the runs that lack something, those that are first first."""
        values = answer.values or {}
        runs = {
            use.run: None
            for use in self.scope.needs.uses
            if (self.runs is None or use.run in self.runs)
            and (
                values.get(f"{use.name} lacks")
                or (values.get(f"{use.name} unbacked") and not self.spends_backups)
            )
        }
        return list(runs)


def _serves(answer: Answer) -> bool:
    """Tell whether nothing lacks in an answer."""
    return answer.values is not None and answer.figures[LACKS] == 0
