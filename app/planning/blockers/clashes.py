"""Clashes: smallest sets of facts that cannot hold together, one for each independent clash.

What must stand on shelves at one minute is counted first. Few needs are quick to ask about, so what
lacks is asked for in pairs that want the same equipment; for one stage of a family at a time; then
for needs of several families that may want the same equipment at about the same time, few first;
then for whole families. Where something clashes, the needs come first: the fewest that cannot be
met together, the kitchen and all else being as it is. Beside those few the other facts are dropped
as far as they can be, which is quick then. For that, some of the work is kept back while it is
looked around. At the end it is told what goes with what was found.
"""

from app.planning.blockers.asking import Asking
from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.blockers.groups import ACROSS, SIZES
from app.planning.blockers.narrowing import Narrowing
from app.planning.blockers.rooms import Rooms
from app.planning.blockers.telling import LOOK_WORK, Telling

KEPT_BACK = 0.4
# So much of the work is for crowds that are told in full.
ROOM_WORK = 1.6


class Clashes:
    """Looks for the clashes of a day.

    Parameters
    ----------
    asking
        The day, and how much may be asked about it.
    """

    def __init__(self, asking: Asking) -> None:
        self.asking, self.case = asking, asking.case
        self.narrowing, self.rooms = Narrowing(asking), Rooms(asking)
        self.telling = Telling(asking)
        self.groups = self.telling.groups

    def found(self, lacking: list[Fact]) -> list[Clash]:
        """Return one clash for each independent one that can be found.

        Clashes of the same cause, all but the needs and their runs being told already, are told
        once.

        Parameters
        ----------
        lacking
            The needs that the best plan leaves short: clashes are looked for around them, among
            few needs first.
        """
        families = self.groups.families(lacking)
        for family in families:
            self._by_itself(family, lacking)
        self._by_room(lacking)
        pairs, some_more = ACROSS
        self._across(pairs, lacking)
        for family in families:
            self._by_stage(family, lacking)
        self._across(some_more, lacking)
        for size in SIZES:
            for some in self.groups.around(self.telling.untold(lacking), size):
                if self._is_late():
                    break
                self._among(some, lacking)
        for family in families:
            self._among(family, lacking)
        self.telling.tell_more(families, lacking)
        return self.telling.clashes

    def _by_itself(self, family: list[Fact], lacking: list[Fact]) -> None:
        """Tell which needs of a family can have no copy at all, each by itself."""
        others = self.case.beside(family)
        for need in self.asking.beyond_windows(family, others):
            if need in self.telling.told or self._is_late():
                continue
            if not self.telling.is_told_again([need]):
                self.telling.tell(self.narrowing.clash_of([need]), lacking)

    def _by_room(self, lacking: list[Fact]) -> None:
        """Tell of which needs more must stand in a zone at one minute than fits.

        First come crowds that share no need with what is told; then it is told of the needs left
        that they crowd the same shelves at other times, or with those that are told.
        """
        begin = self.asking.decider.work
        for crowd in self.rooms.apart(self.telling.untold(lacking), self.telling.told):
            if self._is_late() or begin - self.asking.decider.work > ROOM_WORK:
                break
            self.telling.tell(self.narrowing.clash_of(list(crowd.needs)), lacking)
        if not self.telling.clashes:
            return
        for need, crowd in self.rooms.bound(self.telling.untold(lacking)):
            self.telling.tell_beside(self.rooms.shelves(crowd.zone), need)
            if self._is_late():
                break

    def _across(self, size: int, lacking: list[Fact]) -> None:
        """Tell what clashes among needs of several stages that want the same equipment."""
        for some in self.groups.across(self.telling.untold(lacking), size):
            if self._is_late():
                return
            self._among(some, lacking)

    def _by_stage(self, family: list[Fact], lacking: list[Fact]) -> None:
        """Tell what clashes among the needs of one family for one stage."""
        for some in self.groups.stages(self.telling.untold(family)):
            self._among(some, lacking)

    def _is_late(self) -> bool:
        """Tell whether the work that is left is for what was found already."""
        return self.asking.decider.over() or self.asking.decider.work < KEPT_BACK

    def _among(self, needs: list[Fact], lacking: list[Fact]) -> None:
        """Tell all clashes among some needs; halves of them where all together is not decided."""
        while (some := self.telling.untold(needs)) and not self._is_late():
            found = self._possible(some)
            if found is None:
                self._halves_of(some, lacking)
            if found is False and self.telling.is_told_again(some):
                continue
            clash = self.narrowing.clash_of(some) if found is False else None
            if clash is None:
                return
            self.telling.tell(clash, lacking)

    def _halves_of(self, needs: list[Fact], lacking: list[Fact]) -> None:
        """Tell what clashes among the first half of some needs, then among the second."""
        if len(needs) > 1:
            half = len(needs) // 2
            self._among(needs[:half], lacking)
            self._among(needs[half:], lacking)

    def _possible(self, needs: list[Fact]) -> bool | None:
        """Tell whether some needs can be met, all else being as it is."""
        others = self.case.beside(needs)
        return self.asking.possible([*needs, *others], work=LOOK_WORK)
