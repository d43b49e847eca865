"""Families together in one kitchen: one after another first, then a few freed at a time.

A family that joins finds the shapes of the plans of others held (their batches, ways and copies,
and what goes where) but not their minutes: most often it only has to be fitted in between.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations

from app.planning.beside import occupied_by
from app.planning.descent import Answer, descend
from app.planning.draft import Draft, draft_of, whole
from app.planning.families import owner, stages_of
from app.planning.fitting import Fitting, both
from app.planning.holds import Occupied
from app.planning.model.build import Wanted, build
from app.planning.proving import COPY_GOALS
from app.planning.scope import Scope
from app.planning.watch import Watch

Family = frozenset[str]
FIT_WORK = 0.5
EASE_WORK = 2.0
MOVE_WORK = 1.0
PATIENCE = 100.0
WHOLE = 6
AROUND = 4


class Joining:
    """The best answer for the whole day so far, and what is proven of it.

    Parameters
    ----------
    alone
        Each family's own answer in the empty kitchen, in the order of the families.
    """

    def __init__(
        self,
        scope: Scope,
        wanted: Wanted,
        goals: tuple[str, ...],
        watch: Watch,
        alone: dict[Family, Answer],
        work: float,
    ) -> None:
        self.scope, self.wanted, self.goals, self.watch = scope, wanted, goals, watch
        self.alone, self.work = alone, work
        self.fitting = Fitting(scope, goals, watch)
        self.placed: list[Family] = []
        self.occupied: dict[Family, Occupied] = {}
        self.best = Answer()
        self.floors = self.sum_of_floors(alone)

    def part(self, family: Family) -> Answer:
        """Return what the best answer says of one family, with what is proven of it alone."""
        values = {
            name: value for name, value in (self.best.values or {}).items() if owner(name) in family
        }
        parts = {each: self.best.parts[each] for each in family if each in self.best.parts}
        return Answer(values or None, parts, self.best.shape, self.alone[family].floors)

    def mend(self, old: Answer) -> bool:
        """Keep the shapes, or let one family or two be reshaped; tell whether that will do."""
        self.placed = list(self.alone)
        everybody = frozenset().union(*self.alone)
        for free in [frozenset[str](), *self.alone, *self.pairs()]:
            if self.work <= 0 or self.watch.over():
                break
            answer = self.solve(everybody, free, old)
            if answer.values is not None:
                self.best = answer
                return True
        self.placed = []
        return False

    def sum_of_floors(self, families: Iterable[Family]) -> dict[str, int]:
        """Return what families cannot undercut together, as far as each is proven alone."""
        floors: dict[str, int] = {}
        for goal in (*self.goals, "early_min"):
            each = [self.alone[family].floors.get(goal) for family in families]
            if any(floor is None for floor in each):
                break
            floors[goal] = sum(floor for floor in each if floor is not None)
        return floors

    def done(self) -> bool:
        """Tell whether the whole day stands at its floors, or the work must end."""
        return self.watch.over() or self.work <= 0 or self.settled()

    def settled(self) -> bool:
        """Tell whether every goal of the whole day stands at its floor."""
        self.best.floors = self.floors
        return len(self.placed) == len(self.alone) and self.best.proven(self.goals)

    def place_all(self) -> None:
        """Place one family after another, those that are shown first first.

        Where the time is over, those that wait get nothing.
        """
        waiting = sorted(self.alone, key=self._first_shown)
        while waiting and not (self.watch.over() and self.placed):
            self._place(waiting.pop(0))
        if waiting:
            rest = frozenset().union(*waiting)
            self._let_lack(rest)
            self._take(self._nothing(rest))
            self.placed += waiting
        self.stand(self.best)

    def _first_shown(self, family: Family) -> int:
        return min((use.due for use in self.scope.needs.uses if use.stage[0] in family), default=0)

    def _place(self, family: Family) -> None:
        """Fit a family in beside those that stand; let others move only where it does not fit."""
        own = self.alone[family]
        answer = Answer()
        if own.values is not None and not self.wanted.shelves:
            answer = own if not self.placed else self._beside_all(family)
        if answer.values is None:
            answer = self._among_some(family)
        self._take(answer)
        self.placed.append(family)

    def _beside_all(self, family: Family) -> Answer:
        """Fit a family in while all that stand stay as they are."""
        wanted = replace(self.wanted, stages=stages_of(self.scope, family))
        fitting = Fitting(self._scope_beside(family), self.goals, self.watch)
        return self._fitted(fitting, wanted, family, self.alone[family])

    def _among_some(self, family: Family) -> Answer:
        """Fit a family in while those that are shown about then keep their shapes alone."""
        members = self._around(family) | family
        own = self.alone[family]
        known = both(self._of(members), own)
        answer = Answer()
        if own.values is not None:
            wanted = replace(self.wanted, stages=stages_of(self.scope, members))
            fitting = Fitting(self._scope_beside(members), self.goals, self.watch)
            answer = self._fitted(fitting, wanted, family, known)
        if answer.values is None:
            answer = self.solve(members, family, known)
        if answer.values is None and members != family:
            answer = self.solve(members, members, known)
        if answer.values is None and self._consider_more(family):
            answer = self.solve(members, family, known)
        elif answer.infeasible and len(members) == len(self.scope.day.demonstrations):
            self._raise_floor(members)
        if answer.values is None:
            self._let_lack(family)
            answer = self.solve(members, family, known)
        if answer.values is None:
            answer = both(self._of(members), self._nothing(family))
        return answer

    def _around(self, family: Family) -> Family:
        """Return those that stand and are shown at about the time of a family, if not all."""
        shown = self._first_shown(family)
        near = sorted(self.placed, key=lambda each: abs(self._first_shown(each) - shown))
        few = near if len(self.alone) <= WHOLE else near[:AROUND]
        return frozenset().union(*few)

    def _of(self, members: Family) -> Answer:
        """Return what the best answer says of some demonstrations."""
        best = self.best
        values = {
            name: value for name, value in (best.values or {}).items() if owner(name) in members
        }
        parts = {each: part for each, part in best.parts.items() if each in members}
        return Answer(values or None, parts, best.shape)

    def _scope_beside(self, members: Family) -> Scope:
        """Return the day with all taken that is held by those that stand, but for some of them."""
        taken = [self._occupied(each) for each in self.placed if not each <= members]
        return self.scope.beside(*taken) if taken else self.scope

    def _occupied(self, family: Family) -> Occupied:
        """Return what the batches of a family take of the kitchen."""
        if family not in self.occupied:
            self.occupied[family] = occupied_by(self.scope.day, self._draft(family))
        return self.occupied[family]

    def _take(self, answer: Answer) -> None:
        """Let an answer for some demonstrations be part of the best one."""
        self.best = both(self.best, answer)
        for family in [each for each in self.occupied if each & answer.parts.keys()]:
            del self.occupied[family]

    def draft(self) -> Draft:
        """Return the best answer in single copies."""
        return whole(self._draft(family) for family in self.placed)

    def _draft(self, family: Family) -> Draft:
        wanted = replace(self.wanted, stages=stages_of(self.scope, family))
        return draft_of(self.scope, wanted, self._of(family).values or {})

    def _consider_more(self, family: Family) -> bool:
        over = self.work <= 0 or self.watch.over()
        return not over and self.scope.consider_more(stages_of(self.scope, family))

    def _fitted(self, fitting: Fitting, wanted: Wanted, family: Family, known: Answer) -> Answer:
        """Fit a family in with the shape that it has, else with the one that it finds."""
        answer = fitting.fit(wanted, known, FIT_WORK, COPY_GOALS)
        self.work -= answer.work
        if answer.values is None and not self.watch.over():
            answer = fitting.eased(wanted, known, family, EASE_WORK)
            self.work -= answer.work
        return answer

    def _nothing(self, family: Family) -> Answer:
        """Return the answer that makes nothing for a family: there always is that one."""
        wanted = replace(self.wanted, stages=stages_of(self.scope, family))
        model = build(self.scope, wanted, self.scope.no_batches(family))
        patient = Watch(None, self.watch.now, lambda: False, lambda _: None)
        return descend(model, ("unmet",), patient, PATIENCE)

    def _let_lack(self, family: Family) -> None:
        self.wanted = replace(
            self.wanted, short=self.wanted.short | family, bare=self.wanted.bare | family
        )

    def _raise_floor(self, everybody: Family) -> None:
        """Note that not everything can be had that each family alone could have."""
        if not self.wanted.short and "unmet" in self.floors:
            self.wanted = replace(self.wanted, bare=everybody)
            answer = self.solve(everybody, everybody, Answer())
            goal = "unmet" if answer.infeasible else "unbacked"
            self.floors = {
                each: floor for each, floor in self.floors.items() if each in ("unmet", goal)
            }
            self.floors[goal] += 1

    def solve(
        self,
        members: Family,
        free: Family,
        known: Answer,
        work: float = MOVE_WORK,
        scope: Scope | None = None,
    ) -> Answer:
        """Solve some demonstrations with the shapes of all but the free ones held.

        `scope` is the day where other batches are to be considered than else.
        """
        held = {name: value for name, value in known.shaped.items() if owner(name) not in free}
        stages = stages_of(self.scope, members)
        wanted = replace(self.wanted, stages=stages)
        families = [family for family in self.alone if family <= members]
        floors = self.floors
        if len(families) < len(self.alone):
            floors = self.sum_of_floors(families)
        begin = known if known is self.best else None
        work = max(min(work, self.work), 0.1)
        model = build(scope or self._scope_beside(members), wanted, held)
        answer = descend(model, self.goals, self.watch, work, floors, known.values, begin)
        self.work -= answer.work
        return answer

    def bounds(self) -> dict[str, int]:
        """Return what no plan undercuts: each goal up to the first that is not proven."""
        bounds: dict[str, int] = {}
        for goal in (*self.goals, "early_min"):
            if goal not in self.floors:
                break
            bounds[goal] = self.floors[goal]
            if self.best.figures[goal] != self.floors[goal]:
                break
        return bounds

    def raise_floors(self, proven: dict[str, int]) -> None:
        """Take over proven floors that are higher, or reach further, than those that are known.

        Behind a floor that is lower than the known one they hold for other plans than the best.
        """
        for goal in (*self.goals, "early_min"):
            if goal not in proven or proven[goal] < self.floors.get(goal, -1):
                break
            if proven[goal] > self.floors.get(goal, -1):
                kept = self.goals[: self.goals.index(goal)] if goal in self.goals else self.goals
                self.floors = {each: self.floors[each] for each in kept} | {goal: proven[goal]}

    def stand(self, answer: Answer) -> None:
        """Let an answer for the whole day be the best, and tell of it."""
        self._take(answer)
        figures = answer.figures
        floors = {goal: self.floors.get(goal, 0) for goal in self.goals}
        open_goals = [goal for goal in self.goals if figures[goal] != floors[goal]]
        goal = open_goals[0] if open_goals else self.goals[-1]
        parts = self.wanted.scale if goal == "cost" else 1
        self.watch.told(goal, figures[goal] / parts, floors[goal] / parts)

    def pairs(self) -> Iterator[Family]:
        """Yield the families that stand, two at a time."""
        for one, other in combinations(self.placed, 2):
            yield one | other
