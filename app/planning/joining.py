"""Families together in one kitchen: the best answer for all of them, and what is proven of it.

Some may be solved anew while all others stand as they are, their hands and items taken. Of a day
of some hundred batches all can be open at once; of a longer one only a few families are.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import combinations

from app.planning.beside import beside, occupied_by
from app.planning.descent import BY_TURNS, Answer, Turns, descend
from app.planning.draft import Draft, whole
from app.planning.drafting import draft_of, draft_solved
from app.planning.families import owner, stages_of
from app.planning.fitting import both
from app.planning.holds import Occupied
from app.planning.model.build import Wanted, build
from app.planning.places import place, stays_of
from app.planning.scope import Scope
from app.planning.watch import Watch

Family = frozenset[str]
LANES = 2
MOVE_WORK = 1.0
WHOLE = 350
FAR_MORE = 1.25


class Lacking(Exception):
    """Something would have to lack in a plan in which nothing may."""


class Joining:
    """The best answer for the whole day so far, and what is proven of it.

    Parameters
    ----------
    families
        All that are to be planned, those that are shown first first.

    `alone` has the own answer of each that has been met, for a kitchen of its own; `is_long` tells
    whether there is too much to be open all at once, `is_refuted` whether it is proven that not
    all can be had together. Where nothing `may_lack`, the work ends as soon as a copy would.
    """

    may_lack = True

    def __init__(
        self,
        scope: Scope,
        wanted: Wanted,
        goals: tuple[str, ...],
        watch: Watch,
        families: Sequence[Family],
        work: float,
    ) -> None:
        self.scope, self.wanted, self.goals, self.watch = scope, wanted, goals, watch
        self.families, self.work = families, work
        self.alone: dict[Family, Answer] = {}
        self.is_long = sum(call.batches for _, call in scope.calls_of(scope.kin)) > WHOLE
        self.is_refuted = False
        self.placed: list[Family] = []
        self.drafts: dict[Family, Draft] = {}
        self.occupied: dict[Family, Occupied] = {}
        self.best = Answer()
        self.own: dict[str, dict[str, int]] = {}
        self.floors: dict[str, int] = {}

    def met(self, planned: tuple[Family, tuple[Wanted, Answer]]) -> Family:
        """Take over what a family is alone; return the family."""
        family, (own, answer) = planned
        self.alone[family] = replace(answer, solved=None)
        self.work -= answer.work / LANES
        self.let_lack(own.short, own.bare)
        if len(self.alone) == len(self.families):
            self.floors = self.sum_of_floors(self.families)
        return family

    @cached_property
    def asks_too_much(self) -> bool:
        """Tell whether all together, as they are planned alone, ask for far more hands than there
        are: fuller batches would not do. Asked once, when all have been met.
        """
        asked_min = sum(each.figures["hands_min"] for each in self.alone.values() if each.values)
        return asked_min > FAR_MORE * self.scope.hands_until(self.scope.needs.end)

    def part(self, family: Family) -> Answer:
        """Return what the best answer says of one family, with what is proven of it alone."""
        return replace(self.of(family), floors=self.alone[family].floors)

    def of(self, members: Family) -> Answer:
        """Return what the best answer says of some demonstrations."""
        parts = {each: part for each, part in self.best.parts.items() if each in members}
        if self.best.values is None:
            return Answer(None, parts, self.best.shape)
        values: dict[str, int] = {}
        for each in sorted(members & self.own.keys()):
            values |= self.own[each]
        return Answer(values, parts, self.best.shape)

    def beside(self, members: Family) -> Scope:
        """Return the day with all taken that those hold that stand, but for some of them."""
        return self.amid(self.taken(each for each in self.placed if not each <= members), members)

    def amid(self, taken: Iterable[Occupied], members: Family) -> Scope:
        """Return the day with all that taken, for some demonstrations beside it."""
        return beside(self.scope, taken, members, self.wanted.slots_free if self.is_long else None)

    def taken(self, families: Iterable[Family]) -> list[Occupied]:
        """Return what the batches of families that stand take of the kitchen."""
        return [self._taken_by(family) for family in families]

    def slot_min(self, family: Family, zones: Collection[str]) -> int:
        """Return for how long a family's copies stand in some zones, times the slots they take."""
        standing = self._taken_by(family).standing
        return sum(
            (ends - starts) * slots
            for zone in zones
            for starts, ends, slots in standing.get(zone, ())
        )

    def full_zones(self, families: Iterable[Family]) -> set[str]:
        """Return the zones in which not all copies of some families alone have a place."""
        draft = whole(self._draft_as_it_stands(family) for family in families)
        return place(self.scope, stays_of(self.scope, draft))

    def _taken_by(self, family: Family) -> Occupied:
        if family not in self.occupied:
            self.occupied[family] = occupied_by(self.scope, self._draft_as_it_stands(family))
        return self.occupied[family]

    def takes(self, family: Family, answer: Answer) -> Occupied:
        """Return what an answer for a family would take of the kitchen."""
        return occupied_by(self.scope, self._draft(family, answer))

    def _draft_as_it_stands(self, family: Family) -> Draft:
        """Return the draft of one family, to be looked at and not to be named."""
        if family not in self.drafts:
            self.drafts[family] = self._draft(family, self.of(family))
        return self.drafts[family]

    def draft(self) -> Draft:
        """Return the best answer in single copies."""
        return whole(self._draft(family, self.of(family)) for family in self.placed)

    def _draft(self, family: Family, answer: Answer) -> Draft:
        if answer.solved is not None and family == answer.parts.keys():
            return draft_solved(self.scope, *answer.solved)
        return draft_of(self.scope, self.asked(family), answer.values or {})

    def asked(self, members: Family) -> Wanted:
        """Return what is asked of some demonstrations."""
        return replace(self.wanted, stages=stages_of(self.scope, members))

    def take(self, answer: Answer) -> None:
        """Let an answer for some demonstrations be part of the best one."""
        self.best = both(self.best, answer)
        self.own |= {each: {} for each in answer.parts}
        for name, value in (answer.values or {}).items():
            self.own[owner(name)][name] = value
        for family in [each for each in self.drafts if each & answer.parts.keys()]:
            del self.drafts[family]
            self.occupied.pop(family, None)
        family = frozenset(answer.parts)
        if answer.solved is not None and family in self.alone:
            self.drafts[family] = self._draft(family, answer)

    def let_lack(self, short: Family, bare: Family) -> None:
        """Allow some demonstrations to lack copies, and some to lack backups.

        Raises
        ------
        Lacking
            If no copy may lack.
        """
        if short and not self.may_lack:
            raise Lacking(", ".join(sorted(short)))
        self.wanted = replace(
            self.wanted, short=self.wanted.short | short, bare=self.wanted.bare | bare
        )

    def mend(self, old: Answer, freed: Iterable[Family]) -> bool:
        """Keep the shapes, or let some be reshaped, these or those; tell whether that will do."""
        self.placed = list(self.alone)
        everybody = frozenset().union(*self.alone)
        for free in freed:
            if self.work <= 0 or self.watch.over():
                break
            answer = self.solve(everybody, free, old)
            if answer.values is not None:
                self.take(answer)
                return True
            self.is_refuted = answer.infeasible and free == everybody
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
        return len(self.placed) == len(self.families) and self.best.proven(self.goals)

    def solve(
        self,
        members: Family,
        free: Family,
        known: Answer,
        work: float = MOVE_WORK,
        scope: Scope | None = None,
        stands: bool = False,
        goals: tuple[str, ...] = (),
        turns: Turns = BY_TURNS,
    ) -> Answer:
        """Solve some demonstrations beside the others, the shapes of all but the free ones held.

        Parameters
        ----------
        known
            What is known of them.
        scope
            The day, where other batches are to be considered than else.
        stands
            Whether that is a plan of just them, so that only better ones are looked for.
        goals
            What to make small, where not all goals are meant.
        turns
            In which ways to search.
        """
        held = {name: value for name, value in known.shaped.items() if owner(name) not in free}
        families = [family for family in self.families if family <= members]
        floors = self.floors
        if len(families) < len(self.families):
            floors = self.sum_of_floors(families)
        begin = known if stands else None
        work = max(min(work, self.work), 0.1)
        model = build(scope or self.beside(members), self.asked(members), held)
        goals = goals or self.goals
        answer = descend(model, goals, self.watch, work, floors, known.values, begin, turns)
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
        """Let an answer be the best of the demonstrations that it is for; tell of each goal."""
        self.take(answer)
        figures = self.best.figures
        for goal in self.goals:
            floor = self.floors.get(goal, 0)
            parts = self.wanted.scale if goal == "cost" else 1
            self.watch.told(goal, figures[goal] / parts, floor / parts)
            if figures[goal] != floor:
                break

    def pairs(self) -> Iterator[Family]:
        """Yield the families that stand, two at a time."""
        for one, other in combinations(self.placed, 2):
            yield one | other
