"""Needs that crowd a zone together, found by counting what must stand there at one minute."""

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, partial

from app.planning.blockers.asking import Asking
from app.planning.blockers.crowding import Crowding
from app.planning.blockers.facts import Fact
from app.planning.needs import Use

BOUND_WORK, MOST_UNKNOWN = 0.03, 1
# What is counted, about a second each, for looking for the crowd of a need.
COUNTING = 0.001


@dataclass(frozen=True)
class Crowd:
    """Needs of which more must stand in a zone at one minute than fits: none can be spared."""

    zone: str
    needs: tuple[Fact, ...]


class Rooms:
    """The crowds of a day.

    Parameters
    ----------
    asking
        The day, and how much may be asked about it.
    """

    def __init__(self, asking: Asking) -> None:
        self.asking, self.case = asking, asking.case

    def apart(self, lacking: Sequence[Fact], told: Collection[Fact]) -> Iterator[Crowd]:
        """Yield crowds around needs of which no other is, one of each zone first, the smallest.

        Parameters
        ----------
        lacking
            Around which needs it is looked.
        told
            What is told already, which grows: no crowd is of these.
        """
        left, zones = self._around(lacking, told), Counter[str]()
        while left:
            need = min(left, key=lambda each: (zones[left[each].zone], len(left[each].needs)))
            crowd = left.pop(need)
            if not any(each in told for each in crowd.needs):
                zones[crowd.zone] += 1
                yield crowd
                for each in crowd.needs:
                    left.pop(each, None)
            else:
                left |= self._around([need], told)

    def bound(self, lacking: Sequence[Fact]) -> Iterator[tuple[Fact, Crowd]]:
        """Yield each need with a crowd, in the smallest first, of which it cannot be spared.

        The crowd cannot be met, by what tells where it stands and when; the others of it can. Where
        that is not shown of a few, it will not be of larger ones.
        """
        left, unknown = self._around(lacking, ()), 0
        for need, crowd in sorted(left.items(), key=lambda each: len(each[1].needs)):
            rest = [each for each in crowd.needs if each != need]
            if self.asking.possible([*rest, *self._about(crowd)], work=BOUND_WORK) is True:
                yield need, crowd
                continue
            unknown += 1
            if unknown > MOST_UNKNOWN:
                return

    def shelves(self, zone: str) -> frozenset[Fact]:
        """Return the shelf units of a zone."""
        shelves = self.case.day.kitchen.shelves
        return frozenset(Fact("shelf", (each.id,)) for each in shelves if each.zone == zone)

    def _around(self, lacking: Sequence[Fact], told: Collection[Fact]) -> dict[Fact, Crowd]:
        """Return the smallest crowd that each need is in, of needs that are not told."""
        others = [self._uses[each] for each in self.case.needs if each not in told]
        found: dict[Fact, Crowd] = {}
        self.asking.decider.work -= COUNTING * len(lacking)
        for need in lacking:
            mine = self._uses[need]
            beside = sorted(others, key=partial(_apart, mine), reverse=True)
            crowd = None if need in told else self._crowding.around(mine, beside)
            if crowd is not None:
                zone, uses = crowd
                found[need] = Crowd(zone, tuple(self._needs[use.index] for use in uses))
        return found

    def _about(self, crowd: Crowd) -> list[Fact]:
        """Return the facts that a count is made of, but for the needs: ways, rules, shelves."""
        stages = {self.case.stage_of(need) for need in crowd.needs}
        shelves = self.shelves(crowd.zone)
        return [
            fact
            for fact in self._others
            if fact in shelves
            or fact.kind == "policy"
            or fact.part == "margin"
            or (fact.kind == "way" and fact.ids[:2] in stages)
        ]

    @cached_property
    def _others(self) -> list[Fact]:
        return self.case.beside(self.case.needs)

    @cached_property
    def _crowding(self) -> Crowding:
        return Crowding(self.case.eased([*self.case.needs, *self._others]))

    @cached_property
    def _needs(self) -> dict[int, Fact]:
        """Return the needs by the index of their uses."""
        named = {self.case.eased_ids(need): need for need in self.case.needs}
        uses = self._crowding.scope.needs.uses
        return {use.index: named[use.run, use.beat, use.stage[1]] for use in uses}

    @cached_property
    def _uses(self) -> dict[Fact, Use]:
        uses = {use.index: use for use in self._crowding.scope.needs.uses}
        return {need: uses[index] for index, need in self._needs.items()}


def _apart(mine: Use, use: Use) -> tuple[bool, bool, int]:
    """Return how far a use is from another: by stage, by dish, in minutes."""
    is_other_dish = use.stage[0] != mine.stage[0]
    return use.stage != mine.stage, is_other_dish, abs(use.start - mine.start)
