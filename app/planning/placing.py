"""Families placed one after another in one kitchen, those that are shown first first.

A family that is placed finds the hands and items taken of those that stand. Where no room is found
for it as it is, and nobody makes room, some may move in their minutes while their shapes (their
batches, ways and copies, and what goes where) are held.
"""

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor

from app.planning.descent import SHARPLY, Answer
from app.planning.families import stages_of
from app.planning.finding_room import PLACE_WORK, FindingRoom
from app.planning.fitting import both
from app.planning.joining import Family, Joining
from app.planning.neighbours import in_the_way
from app.planning.rationing import nothing_for, ration

AROUND = 4
GRACE_TO_PLACE = 0.25
NOBODY: Family = frozenset()


class Placing:
    """Places the families of a day.

    Parameters
    ----------
    lanes
        Those in which the families are planned that have not arrived; None: all have.
    """

    def __init__(self, day: Joining, lanes: Executor | None = None) -> None:
        self.day, self.room = day, FindingRoom(day, lanes)
        self.is_late = False

    def place_all(self, arriving: Iterable[Family]) -> None:
        """Place all families. Where the time is over, those that wait get nothing.

        On a long day each is placed as it arrives, where it fits; those that do not take the room
        of others, which are placed elsewhere, and come last. Else all are awaited first.
        """
        day = self.day
        waiting = [each for each in arriving if not (day.is_long and self.room.fits(each))]
        while waiting and not (self._must_end() and day.placed):
            family = waiting.pop(0)
            if self._may_find_room(family):
                waiting += self.room.tried_again(family)
            else:
                self._place(family)
        if waiting:
            rest = frozenset().union(*waiting)
            day.let_lack(rest, rest)
            self.room.stands(nothing_for(day, rest), waiting)

    def _may_find_room(self, family: Family) -> bool:
        """Tell whether a family may find the room of others: not where all is asked for anyway."""
        day = self.day
        return day.is_long and not day.asks_too_much and not self.room.is_given_up(family)

    def _must_end(self) -> bool:
        """Tell whether the time is over: better late, once, than a dish that gets nothing."""
        watch = self.day.watch
        if watch.over() and not self.is_late:
            self.is_late = True
            watch.grant(GRACE_TO_PLACE)
        return watch.over()

    def _place(self, family: Family) -> None:
        """Place a family by whatever gives an answer first; at last it lacks something."""
        members = self._among(family)
        for way in self._ways(members, family):
            answer = way()
            if answer.values is not None:
                break
        self.room.stands(answer, [family])

    def _ways(self, members: Family, family: Family) -> Iterator[Callable[[], Answer]]:
        """Yield how a family may be placed, the cheap ways first."""
        day = self.day
        if day.is_long and day.asks_too_much:
            yield lambda: self._lacking(members, family)
        elif day.alone[family].values is not None:
            if not day.is_long and not day.wanted.shelves:
                yield lambda: self.room.beside(family, day.taken(day.placed))
            if members != family:
                yield lambda: self._fitted_among(members, family)
        yield lambda: self._solved_among(members, family)

    def _among(self, family: Family) -> Family:
        """Return a family with those that may move for it: on a long day those in its way."""
        around = in_the_way(self.day, family)[:AROUND] if self.day.is_long else self.day.placed
        return family.union(*around)

    def _fitted_among(self, members: Family, family: Family) -> Answer:
        """Fit a family in while others may move and keep only their shapes."""
        day = self.day
        known = both(day.of(members), day.alone[family])
        return self.room.fitted(day.beside(members), members, family, known, PLACE_WORK)

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
