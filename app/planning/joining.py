"""Families together in one kitchen: one after another first, then a few freed at a time."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations

from app.planning.descent import Answer, descend
from app.planning.families import owners, stages_of
from app.planning.model.build import Wanted, build
from app.planning.scope import Scope
from app.planning.watch import Watch

Family = frozenset[str]
MOVE_WORK = 1.5
TIDY_WORK = 2.0
AGAIN_WORK = 10.0


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
        self.placed: list[Family] = []
        self.best = Answer()
        self.old: dict[str, int] = {}
        self.floors = self.sum_of_floors(alone)

    def again(self, wanted: Wanted) -> "Joining":
        """Return the day joined anew under further rules; what was proven without them holds."""
        new = Joining(self.scope, wanted, self.goals, self.watch, self.alone, AGAIN_WORK)
        new.floors = self.floors
        if not new.mend(self.best):
            new.old = self.best.values or {}
            new.place_all()
        new.improve()
        if wanted.strict_shelves:
            new.floors = self.floors
        return new

    def mend(self, old: Answer) -> bool:
        """Let one family, or two, make room while all others stay; tell whether that will do."""
        self.placed, self.best = list(self.alone), old
        for members in [*self.alone, *self._pairs()]:
            if self.work <= 0 or self.watch.over():
                break
            answer = self._solve(list(self.placed), members, old.values or {})
            if answer.values is not None:
                self.best = answer
                return True
        self.placed, self.best = [], Answer()
        return False

    def sum_of_floors(self, families: Iterable[Family]) -> dict[str, int]:
        """Return what families cannot undercut together, as far as each is proven alone."""
        floors: dict[str, int] = {}
        for goal in (*self.goals, "early_min"):
            each = [self.alone[family].floors.get(goal) for family in families]
            if any(floor is None for floor in each):
                break
            floors[goal] = sum(floor for floor in each if floor is not None)
            if not all(self.alone[family].proven((goal,)) for family in families):
                break
        return floors

    def done(self) -> bool:
        """Tell whether the whole day stands at its floors, or the work must end."""
        return self.watch.over() or self.work <= 0 or self.settled()

    def settled(self) -> bool:
        """Tell whether every goal of the whole day stands at its floor."""
        self.best.floors = self.floors
        return len(self.placed) == len(self.alone) and self.best.proven(self.goals)

    def place_all(self) -> None:
        """Place one family after another, the busiest first, beside those that stand."""
        order = sorted(self.alone, key=lambda each: -self.alone[each].figures.get("hands_min", 0))
        for family in order:
            self._place(family)

    def _place(self, family: Family) -> None:
        together = [*self.placed, family]
        hint = {**(self.alone[family].values or {}), **self.old, **(self.best.values or {})}
        answer = self.alone[family]
        if self.placed or self.wanted.shelves:
            answer = self._solve(together, family, hint)
        if answer.values is None and not self.watch.over():
            answer = self._solve(together, frozenset().union(*together), hint)
            if answer.infeasible and len(together) == len(self.alone):
                self._raise_floor()
        if answer.values is None:
            self._let_lack(family)
            answer = self._solve(together, family, hint, at_least=1.0)
        if answer.values is None:
            answer = self._nothing(together, family)
        self.placed, self.best = together, answer

    def _nothing(self, together: list[Family], family: Family) -> Answer:
        """Return the answer that makes nothing for a family: there always is that one."""
        members = frozenset().union(*together)
        wanted = replace(self.wanted, stages=stages_of(self.scope, members))
        model = build(self.scope, wanted, self.best.values)
        for key in stages_of(self.scope, family):
            for maybe in model.batches[key]:
                model.sheet.model.add(maybe.present == 0)
        patient = Watch(None, self.watch.now, lambda: False, lambda _: None)
        return descend(model, ("unmet",), patient, 1.0)

    def _let_lack(self, family: Family) -> None:
        self.wanted = replace(
            self.wanted, short=self.wanted.short | family, bare=self.wanted.bare | family
        )

    def _raise_floor(self) -> None:
        """Note that not everything can be had that each family alone could have."""
        if not self.wanted.short and "unmet" in self.floors:
            everybody = frozenset().union(*self.alone)
            self.wanted = replace(self.wanted, bare=everybody)
            answer = self._solve(list(self.alone), everybody, {})
            goal = "unmet" if answer.infeasible else "unbacked"
            self.floors = {
                each: floor for each, floor in self.floors.items() if each in ("unmet", goal)
            }
            self.floors[goal] += 1

    def _solve(
        self,
        together: list[Family],
        free: Iterable[str],
        hint: dict[str, int],
        at_least: float = 0.0,
        work: float = MOVE_WORK,
        goals: tuple[str, ...] | None = None,
        floors: dict[str, int] | None = None,
    ) -> Answer:
        """Solve some families with all but the free demonstrations held where they stand."""
        freed = set(free)
        held = {
            name: value
            for name, value in (self.best.values or {}).items()
            if not owners(name) & freed
        }
        members = frozenset().union(*together)
        wanted = replace(self.wanted, stages=stages_of(self.scope, members))
        model = build(self.scope, wanted, held)
        if floors is None:
            whole = len(together) == len(self.alone)
            floors = self.floors if whole else self.sum_of_floors(together)
        work = max(min(work, self.work), at_least)
        begin = self.best if together is self.placed else None
        answer = descend(model, goals or self.goals, self.watch, work, floors, hint, begin)
        self.work -= answer.work
        return answer

    def tidy(self) -> None:
        """Let nothing start earlier than it must, a family at a time, all else as good as it is."""
        if len(self.alone) == 1:
            return
        self.work = max(self.work, TIDY_WORK)
        for family in self.placed:
            if self.watch.over() or self.work <= 0:
                return
            before = self.best.figures
            answer = self._solve(
                self.placed,
                family,
                {},
                work=TIDY_WORK / len(self.placed),
                goals=(*self.goals, "early_min"),
                floors={goal: before[goal] for goal in self.goals},
            )
            if answer.values and answer.figures["early_min"] < before["early_min"]:
                self.best = answer

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

    def improve(self) -> None:
        """Free two families at a time as long as it pays, then all, while work is left."""
        while len(self.alone) > 1 and not self.done():
            before = self.best.rank(self.goals)
            for pair in self._pairs():
                if self.done():
                    return
                self._free(pair, MOVE_WORK)
            if self.best.rank(self.goals) == before:
                break
        if not self.done():
            self._free_all(self.work)
        if not self.settled() and self.work <= 0 and self.watch.stopped_by is None:
            self.watch.stopped_by = "work"

    def _pairs(self) -> Iterator[Family]:
        for one, other in combinations(self.placed, 2):
            yield one | other

    def _free(self, members: Family, work: float) -> Answer:
        answer = self._solve(self.placed, members, self.best.values or {}, work=work)
        if answer.values and answer.rank(self.goals) < self.best.rank(self.goals):
            self.best = answer
        return answer

    def _free_all(self, work: float) -> None:
        """Free every family: what this proves holds for the whole day."""
        everybody = frozenset().union(*self.placed)
        bare = everybody if self.wanted.bare else self.wanted.bare
        short = everybody if self.wanted.short else self.wanted.short
        self.wanted = replace(self.wanted, bare=bare, short=short)
        answer = self._free(everybody, work)
        for goal in self.goals:
            if goal not in answer.floors:
                break
            proven = answer.floors[goal]
            if proven > self.floors.get(goal, -1):
                kept = self.goals[: self.goals.index(goal)]
                self.floors = {each: self.floors[each] for each in kept} | {goal: proven}
            if answer.figures.get(goal) != proven:
                break
