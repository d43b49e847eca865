"""Families placed one after another in one kitchen, those that are shown first first.

A family that is placed finds the hands and items taken of those that stand. Most often it fits in
beside them as it was planned alone, or a little reshaped. Else another makes room for it and is
placed anew; else some may move in their minutes while their shapes (their batches, ways and
copies, and what goes where) are held.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from itertools import combinations

from app.planning.descent import SHARPLY, Answer
from app.planning.families import stages_of
from app.planning.fitting import Fitting, Reach, both
from app.planning.holds import Occupied
from app.planning.joining import Family, Joining
from app.planning.neighbours import in_the_way, minutes_in_the_way
from app.planning.rationing import nothing_for, ration
from app.planning.scope import Scope

AROUND = 4
MOST_MOVED = 4
MOST_PAIRED = 3
MOST_SHARING = 2
MOST_TRIES = 3
PLACE_WORK = 0.8
PAIR_WORK = 2.0
SUITING_WORK = 3.0
GRACE_TO_PLACE = 0.25
NOBODY: Family = frozenset()
Group = tuple[Family, ...]


class Placing:
    """Places the families of a day.

    Parameters
    ----------
    lanes
        Those in which the families are planned that have not arrived; None: all have.
    """

    def __init__(self, day: Joining, lanes: Executor | None = None) -> None:
        self.day, self.lanes = day, lanes
        self.moved: Counter[Family] = Counter()
        self.tries: Counter[Family] = Counter()
        self.drove: set[tuple[Family, Family]] = set()
        self.is_late = False

    def place_all(self, arriving: Iterable[Family]) -> None:
        """Place all families. Where the time is over, those that wait get nothing.

        On a long day each is placed as it arrives, where it fits; those that do not take the room
        of others, which are placed elsewhere, and come last. Else all are awaited first.
        """
        day = self.day
        waiting = [each for each in arriving if not (day.is_long and self._fits(each))]
        while waiting and not (self._must_end() and day.placed):
            family = waiting.pop(0)
            if day.is_long and self.tries[family] < MOST_TRIES:
                waiting += self._tried_again(family)
            else:
                self._place(family)
        if waiting:
            rest = frozenset().union(*waiting)
            day.let_lack(rest, rest)
            self._stands(nothing_for(day, rest), waiting)

    def _must_end(self) -> bool:
        """Tell whether the time is over: better late, once, than a dish that gets nothing."""
        watch = self.day.watch
        if watch.over() and not self.is_late:
            self.is_late = True
            watch.grant(GRACE_TO_PLACE)
        return watch.over()

    def _is_over(self) -> bool:
        """Tell whether the time is over; where the clock is no limit, whether the work is done."""
        watch = self.day.watch
        return watch.over() or (watch.seconds is None and self.day.work <= 0)

    def _fits(self, family: Family) -> bool:
        """Place a family beside those that stand, if that takes little; tell whether it stands."""
        day = self.day
        if day.watch.over() and day.placed:
            return False
        work = PLACE_WORK * (1 + self.tries[family]) / 2
        answer = self._beside(family, day.taken(day.placed), work)
        if answer.values is None:
            return False
        self._stands(answer, [family])
        return True

    def _tried_again(self, family: Family) -> list[Family]:
        """Place a family in the room of others, else with more patience; return who waits then.

        First of all its shape must be one for a kitchen with an end. Where all is in vain, there is
        no use in trying that again.
        """
        self.tries[family] += 1
        if self.tries[family] == 1:
            self._suits_kitchen(family)
        moved = self._takes_room(family)
        if moved is None:
            self.tries[family], moved = MOST_TRIES, (family,)
        return [each for each in moved if not self._fits(each)]

    def _suits_kitchen(self, family: Family) -> None:
        """Shape a family anew for the empty kitchen, if its own shape is for an endless one."""
        alone = self.day.alone
        answer = self._beside(family, [], SUITING_WORK)
        if answer.values is not None:
            alone[family] = replace(answer, floors=alone[family].floors, solved=None)

    def _takes_room(self, family: Family) -> Group | None:
        """Place a family where one other was, or some; return who stands no more; None if in vain.

        Nobody takes the room of one who took its own: those two are shaped anew together.
        """
        minutes = minutes_in_the_way(self.day, family)
        others = [each for each in minutes if (each, family) not in self.drove]
        others.sort(key=lambda each: -minutes[each] / (1 + self.moved[each] + self.tries[each]))
        nearest = others[:MOST_MOVED]
        if any(self._swaps(other, family) for other in nearest):
            return ()
        for leaving in [*combinations(nearest, 1), *combinations(others[:MOST_PAIRED], 2)]:
            if self._leave(leaving, family):
                return leaving
        drivers = [each for each in minutes if (each, family) in self.drove]
        for other in dict.fromkeys((*drivers, *others[:MOST_SHARING])):
            if self._shares(other, family):
                return ()
        everybody = (*drivers, *others)[:MOST_MOVED]
        return everybody if self._leave(everybody, family) else None

    def _swaps(self, other: Family, family: Family) -> bool:
        """Place a family as it is where another was, if both find room; tell whether they did."""
        day = self.day
        if self._is_over():
            return False
        taken = day.taken(each for each in day.placed if each != other)
        here = self._beside(family, taken, reach="as it is")
        if here.values is None:
            return False
        there = self._beside(other, [*taken, day.takes(family, here)], reach="loosely")
        if there.values is None:
            return False
        day.placed.remove(other)
        self._stands(here, [family])
        self._stands(there, [other])
        return True

    def _leave(self, leaving: Group, family: Family) -> bool:
        """Place a family where some others were; tell whether they left."""
        day = self.day
        if self._is_over():
            return False
        taken = day.taken(each for each in day.placed if each not in leaving)
        answer = self._beside(family, taken, PLACE_WORK / 2)
        if answer.values is None:
            return False
        self.moved.update(leaving)
        self.drove |= {(family, each) for each in leaving}
        day.placed = [each for each in day.placed if each not in leaving]
        self._stands(answer, [family])
        return True

    def _shares(self, other: Family, family: Family) -> bool:
        """Shape a family anew together with one that stands; tell whether both stand then."""
        day, pair = self.day, family | other
        if self._is_over():
            return False
        known = both(day.of(pair), day.alone[family])
        fitting = Fitting(day.beside(pair), day.watch, is_hasty=True)
        floors = day.sum_of_floors((family, other))
        answer = fitting.reshaped(day.asked(pair), known, pair, floors, PAIR_WORK, at_once=True)
        day.work -= answer.work
        if answer.values is None:
            return False
        day.placed.remove(other)
        self._stands(answer, [other, family])
        return True

    def _place(self, family: Family) -> None:
        """Place a family by whatever gives an answer first; at last it lacks something."""
        members = self._among(family)
        for way in self._ways(members, family):
            answer = way()
            if answer.values is not None:
                break
        self._stands(answer, [family])

    def _stands(self, answer: Answer, families: Sequence[Family]) -> None:
        """Let some families stand as an answer says; on a long day that is their plan alone too."""
        day = self.day
        day.take(answer)
        day.placed += families
        if day.is_long:
            day.alone |= {family: day.part(family) for family in families}

    def _ways(self, members: Family, family: Family) -> Iterator[Callable[[], Answer]]:
        """Yield how a family may be placed, the cheap ways first."""
        day = self.day
        if day.alone[family].values is not None:
            if not day.is_long and not day.wanted.shelves:
                yield lambda: self._beside(family, day.taken(day.placed))
            if members != family:
                yield lambda: self._fitted_among(members, family)
        yield lambda: self._solved_among(members, family)

    def _among(self, family: Family) -> Family:
        """Return a family with those that may move for it: on a long day those in its way."""
        around = in_the_way(self.day, family)[:AROUND] if self.day.is_long else self.day.placed
        return family.union(*around)

    def _beside(
        self,
        family: Family,
        taken: list[Occupied],
        work: float = PLACE_WORK,
        reach: Reach = "anyhow",
    ) -> Answer:
        """Fit a family in while what is taken stays so, reshaped if need be."""
        day = self.day
        if not taken and not day.wanted.shelves and not day.is_long:
            return day.alone[family]
        scope, known = day.amid(taken, family), day.alone[family]
        return self._fitted(scope, family, family, known, work, reach)

    def _fitted_among(self, members: Family, family: Family) -> Answer:
        """Fit a family in while others may move and keep only their shapes."""
        day = self.day
        known = both(day.of(members), day.alone[family])
        return self._fitted(day.beside(members), members, family, known, PLACE_WORK)

    def _solved_among(self, members: Family, family: Family) -> Answer:
        """Plan a family anew among others; at last let it lack what it cannot have."""
        day = self.day
        known = both(day.of(members), day.alone[family])
        answer = day.solve(members, family, known)
        if answer.values is None and members != family:
            answer = day.solve(members, members, known, turns=SHARPLY)
        if answer.values is None and self._consider_more(family):
            answer = day.solve(members, family, known)
        elif answer.infeasible and len(members) == len(day.scope.day.demonstrations):
            answer = self.raise_floor(members)
        if answer.values is None:
            answer = self._lacking(members, family)
        return answer

    def _fitted(
        self,
        scope: Scope,
        members: Family,
        family: Family,
        known: Answer,
        work: float,
        reach: Reach = "anyhow",
    ) -> Answer:
        """Fit a family in with the shape that it has, else with the one that it finds."""
        day = self.day
        fitting = Fitting(scope, day.watch, is_hasty=True, reach=reach, lanes=self.lanes)
        wanted, floors = day.asked(members), day.alone[family].floors
        answer = fitting.fitted(wanted, known, family, floors, work, at_once=True)
        day.work -= answer.work
        return answer

    def _consider_more(self, family: Family) -> bool:
        day = self.day
        over = day.work <= 0 or day.watch.over()
        return not over and day.scope.consider_more(stages_of(day.scope, family))

    def _lacking(self, members: Family, family: Family) -> Answer:
        """Return an answer in which a family lacks what it cannot have, as far as is found."""
        day = self.day
        ration(day, [family])
        day.placed.remove(family)
        return day.solve(members, family, day.of(members), stands=True)

    def raise_floor(self, everybody: Family) -> Answer:
        """Note that not everything can be had that each family alone could have.

        Return a plan of all that lacks no more than backups, if there is one.
        """
        day, answer = self.day, Answer()
        if not day.wanted.short and "unmet" in day.floors:
            day.let_lack(NOBODY, everybody)
            answer = day.solve(everybody, everybody, Answer(), turns=SHARPLY)
            goal = "unmet" if answer.infeasible else "unbacked"
            day.floors = {
                each: floor for each, floor in day.floors.items() if each in ("unmet", goal)
            }
            day.floors[goal] += 1
        return answer
