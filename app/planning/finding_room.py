"""Room in one kitchen for a family among those that stand.

Most often it fits in beside them as it was planned alone, or a little reshaped. Else another makes
room for it and is placed anew; at last some make way together.
"""

from collections import Counter
from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import replace
from itertools import combinations

from app.planning.descent import Answer
from app.planning.fitting import Fitting, Reach, both
from app.planning.holds import Occupied
from app.planning.joining import Family, Joining
from app.planning.neighbours import minutes_in_the_way
from app.planning.scope import Scope

MOST_MOVED = 4
MOST_PAIRED = 3
MOST_SHARING = 2
MOST_TRIES = 3
PLACE_WORK = 0.8
PAIR_WORK = 2.0
SUITING_WORK = 3.0
Group = tuple[Family, ...]


class FindingRoom:
    """Finds room for the families of a day.

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

    def is_given_up(self, family: Family) -> bool:
        """Tell whether there is no use in trying once more."""
        return self.tries[family] >= MOST_TRIES

    def fits(self, family: Family) -> bool:
        """Place a family beside those that stand, if that takes little; tell whether it stands."""
        day = self.day
        if day.watch.over() and day.placed:
            return False
        work = PLACE_WORK * (1 + self.tries[family]) / 2
        answer = self.beside(family, day.taken(day.placed), work)
        if answer.values is None:
            return False
        self.stands(answer, [family])
        return True

    def tried_again(self, family: Family) -> list[Family]:
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
        return [each for each in moved if not self.fits(each)]

    def _suits_kitchen(self, family: Family) -> None:
        """Shape a family anew for the empty kitchen, if its own shape is for an endless one."""
        alone = self.day.alone
        answer = self.beside(family, [], SUITING_WORK)
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
        here = self.beside(family, taken, reach="as it is")
        if here.values is None:
            return False
        there = self.beside(other, [*taken, day.takes(family, here)], reach="loosely")
        if there.values is None:
            return False
        day.placed.remove(other)
        self.stands(here, [family])
        self.stands(there, [other])
        return True

    def _leave(self, leaving: Group, family: Family) -> bool:
        """Place a family where some others were; tell whether they left."""
        day = self.day
        if self._is_over():
            return False
        taken = day.taken(each for each in day.placed if each not in leaving)
        answer = self.beside(family, taken, PLACE_WORK / 2)
        if answer.values is None:
            return False
        self.moved.update(leaving)
        self.drove |= {(family, each) for each in leaving}
        day.placed = [each for each in day.placed if each not in leaving]
        self.stands(answer, [family])
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
        self.stands(answer, [other, family])
        return True

    def stands(self, answer: Answer, families: Sequence[Family]) -> None:
        """Let some families stand as an answer says; on a long day that is their plan alone too."""
        day = self.day
        day.take(answer)
        day.placed += families
        if day.is_long:
            day.alone |= {family: day.part(family) for family in families}

    def beside(
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
        return self.fitted(scope, family, family, known, work, reach)

    def fitted(
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

    def _is_over(self) -> bool:
        """Tell whether the time is over; where the clock is no limit, whether the work is done."""
        watch = self.day.watch
        return watch.over() or (watch.seconds is None and self.day.work <= 0)
