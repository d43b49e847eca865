"""Clashes: smallest sets of facts that cannot hold together, one for each independent clash.

What must stand on shelves at one minute is counted first. Few needs are quick to ask about, so what
lacks is asked for in pairs that want the same equipment; for one stage of a family at a time; then
for needs of several families that may want the same equipment at about the same time, few first;
then for whole families. Where something clashes, the needs come first: the fewest that cannot be
met together, the kitchen and all else being as it is. Beside those few the other facts are dropped
as far as they can be, which is quick then. For that, some of the work is kept back while it is
looked around. At the end it is told what goes with what was found.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from app.planning.blockers.asking import Asking
from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import IN_THE_KITCHEN, Fact, facts_of
from app.planning.blockers.groups import ACROSS, SIZES, Groups
from app.planning.blockers.narrowing import Narrowing
from app.planning.blockers.rooms import Rooms
from app.planning.blockers.shrinking import smallest

LOOK_WORK, KEPT_BACK = 0.04, 0.4
# For so much it is looked at the end for what goes with the clashes that were found.
LAST_WORK = 0.5
# So much of the work is for crowds that are told in full.
ROOM_WORK = 1.6


class Clashes:
    """Looks for the clashes of a day.

    Parameters
    ----------
    asking
        The day, and how much may be asked about it.

    `told` are the needs of which it is known why they lack, `alone` those of them that cannot be
    met each by itself.
    """

    def __init__(self, asking: Asking) -> None:
        self.asking, self.case = asking, asking.case
        self.narrowing, self.groups = Narrowing(asking), Groups(self.case)
        self.rooms = Rooms(asking)
        self.told: set[Fact] = set()
        self.alone: set[Fact] = set()
        self.clashes: list[Clash] = []

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
            for some in self.groups.around(self._untold(lacking), size):
                if self._is_late():
                    break
                self._among(some, lacking)
        for family in families:
            self._among(family, lacking)
        self._tell_more(families, lacking)
        return self.clashes

    def _by_itself(self, family: list[Fact], lacking: list[Fact]) -> None:
        """Tell which needs of a family can have no copy at all, each by itself."""
        others = facts_of(self.case.day, self.case.demonstrations(family))
        for need in self.asking.beyond_windows(family, others):
            if need in self.told or self._is_late():
                continue
            if not self._is_told_again([need]):
                self._tell(self.narrowing.clash_of([need]), lacking)

    def _tell_more(self, families: list[list[Fact]], lacking: list[Fact]) -> None:
        """Tell which needs left clash like those that are told, and which hang on them."""
        self.asking.decider.work = max(self.asking.decider.work, LAST_WORK)
        for clash in tuple(self.clashes):
            self._tell_instead(clash, lacking)
        for family in families:
            self._hang(family)

    def _hang(self, family: list[Fact]) -> None:
        """Tell which needs left would have what beats leave of which a need has no copy at all."""
        others = facts_of(self.case.day, self.case.demonstrations(family))
        gone = self._gone(family, others)
        known = next((each for each in self.clashes if not each.every.isdisjoint(gone)), None)
        while known is not None:
            found = self.asking.beyond_windows(family, others, gone)
            more = [need for need in found if need not in gone]
            if not more:
                break
            gone += more
            hanging = (*known.hanging, *self._untold(more))
            self._put(known, known := replace(known, hanging=hanging))

    def _gone(self, family: list[Fact], others: list[Fact]) -> list[Fact]:
        """Return which needs that are told have no copy at all, whatever becomes of others."""
        beyond = self.asking.beyond_windows(family, others)
        single = [need for need in family if need in self.alone and self.case.counts[need.ids] == 1]
        return [need for need in dict.fromkeys([*beyond, *single]) if need in self.told]

    def _by_room(self, lacking: list[Fact]) -> None:
        """Tell of which needs more must stand in a zone at one minute than fits.

        First come crowds that share no need with what is told; then it is told of the needs left
        that they crowd the same shelves at other times, or with those that are told.
        """
        begin = self.asking.decider.work
        for crowd in self.rooms.apart(self._untold(lacking), self.told):
            if self._is_late() or begin - self.asking.decider.work > ROOM_WORK:
                break
            self._tell(self.narrowing.clash_of(list(crowd.needs)), lacking)
        if not self.clashes:
            return
        for need, crowd in self.rooms.bound(self._untold(lacking)):
            known = self._about_shelves(crowd.zone)
            if known is not None:
                self._put(known, replace(known, akin=(*known.akin, need)))
            if self._is_late():
                break

    def _about_shelves(self, zone: str) -> Clash | None:
        """Return a clash that is told to be about the shelves of a zone."""
        shelves = self.rooms.shelves(zone)
        return next((each for each in self.clashes if not shelves.isdisjoint(each.facts)), None)

    def _across(self, size: int, lacking: list[Fact]) -> None:
        """Tell what clashes among needs of several stages that want the same equipment."""
        for some in self.groups.across(self._untold(lacking), size):
            if self._is_late():
                return
            self._among(some, lacking)

    def _by_stage(self, family: list[Fact], lacking: list[Fact]) -> None:
        """Tell what clashes among the needs of one family for one stage."""
        for some in self.groups.stages(self._untold(family)):
            self._among(some, lacking)

    def _is_late(self) -> bool:
        """Tell whether the work that is left is for what was found already."""
        return self.asking.decider.over() or self.asking.decider.work < KEPT_BACK

    def _among(self, needs: list[Fact], lacking: list[Fact]) -> None:
        """Tell all clashes among some needs; halves of them where all together is not decided."""
        while (some := self._untold(needs)) and not self._is_late():
            found = self._possible(some)
            if found is None:
                self._halves_of(some, lacking)
            if found is False and self._is_told_again(some):
                continue
            clash = self.narrowing.clash_of(some) if found is False else None
            if clash is None:
                return
            self._tell(clash, lacking)

    def _is_told_again(self, needs: list[Fact]) -> bool:
        """Tell whether some of the needs clash with the cause of a clash that is told already.

        They are told along with it then.
        """
        for known in self.clashes:
            cause = list(known.cause)
            if cause and self._may_cause(known, needs):
                clash = partial(self._clashes_with, cause)
                if clash(needs):
                    self._tell_also(known, smallest(needs, clash))
                    return True
        return False

    def _clashes_with(self, cause: list[Fact], needs: Sequence[Fact]) -> bool:
        return self.asking.possible([*needs, *cause], work=LOOK_WORK) is False

    def _halves_of(self, needs: list[Fact], lacking: list[Fact]) -> None:
        """Tell what clashes among the first half of some needs, then among the second."""
        if len(needs) > 1:
            half = len(needs) // 2
            self._among(needs[:half], lacking)
            self._among(needs[half:], lacking)

    def _possible(self, needs: list[Fact]) -> bool | None:
        """Tell whether some needs can be met, all else being as it is."""
        others = facts_of(self.case.day, self.case.demonstrations(needs))
        return self.asking.possible([*needs, *others], work=LOOK_WORK)

    def _tell(self, clash: Clash | None, lacking: list[Fact]) -> None:
        """Add a clash to those that are told, or its needs to the one that has the same cause."""
        if clash is None:
            return
        self.told.update(clash.needs)
        self.alone.update(clash.needs if len(clash.needs) == 1 else ())
        known = next((each for each in self.clashes if clash.cause <= each.cause), None)
        if known is not None:
            self._tell_also(known, clash.needs)
            return
        self.clashes.append(clash)
        if len(clash.needs) == 1:
            same = list(self._same(clash, lacking))
            self.alone.update(same)
            self._tell_also(clash, same)
            self._tell_akin(self.clashes[-1], lacking)
        self.asking.decider.watch.told("blockers", len(self.clashes), None)

    def _tell_also(self, clash: Clash, needs: Sequence[Fact]) -> None:
        self.alone.update(needs if len(needs) == 1 else ())
        self._put(clash, replace(clash, also=(*clash.also, *needs)))

    def _tell_akin(self, clash: Clash, lacking: list[Fact]) -> None:
        """Tell of the lacking needs that cannot be met, each by itself, with the same hands and
        equipment, as the windows of their own steps alone show.
        """
        if not clash.kitchen:
            return
        akin: list[Fact] = []
        for family in self.groups.families(self._untold(lacking)):
            every = facts_of(self.case.day, self.case.demonstrations(family))
            others = [fact for fact in every if fact.kind not in IN_THE_KITCHEN] + [*clash.kitchen]
            akin += self.asking.beyond_windows(family, others)
        self.alone.update(akin)
        self._put(clash, replace(clash, akin=(*clash.akin, *akin)))

    def _tell_instead(self, clash: Clash, lacking: list[Fact]) -> None:
        """Tell of the lacking needs that clash with the rest of a clash, instead of one of it.

        The steps are theirs, the hands, equipment and shelves those of the clash; without such a
        need the rest is possible.
        """
        akin: list[Fact] = []
        for need in self._untold(lacking) if clash.kitchen else ():
            family = self.case.demonstrations([need])
            rest = [each for each in clash.needs if self.case.demonstrations([each]) != family]
            if not 0 < len(rest) < len(clash.needs) or self.asking.decider.over():
                continue
            every = facts_of(self.case.day, self.case.demonstrations([need, *rest]))
            rest += [fact for fact in every if fact.kind not in IN_THE_KITCHEN] + [*clash.kitchen]
            if (
                self.asking.possible([need, *rest], work=LOOK_WORK) is False
                and self.asking.possible(rest, work=LOOK_WORK) is True
            ):
                akin.append(need)
        self._put(clash, replace(clash, akin=(*clash.akin, *akin)))

    def _put(self, clash: Clash, told: Clash) -> None:
        """Put a clash that tells of more needs in the place of one that is told."""
        self.told |= told.every
        self.clashes[self.clashes.index(clash)] = told

    def _same(self, clash: Clash, lacking: list[Fact]) -> Iterator[Fact]:
        """Yield the lacking needs that cannot be met for the same reason, each by itself."""
        needs = [need for need in self._untold(lacking) if self._may_cause(clash, [need])]
        cause = list(clash.cause)
        if self.asking.is_beyond_windows([*clash.needs, *cause]):
            for family in self.groups.families(needs):
                yield from self.asking.beyond_windows(family, cause)
            return
        for run in dict.fromkeys(need.ids[0] for need in needs):
            of_run = [need for need in needs if need.ids[0] == run]
            if self.asking.possible([*of_run, *cause]) is not True:
                yield from (
                    need for need in of_run if self.asking.possible([need, *cause]) is False
                )

    def _may_cause(self, clash: Clash, needs: list[Fact]) -> bool:
        """Tell whether the cause of a clash could be that of other needs: the steps are theirs."""
        if not any(fact.kind in ("way", "keeps") for fact in clash.cause):
            return True
        return bool(self.case.demonstrations(needs) & self.case.demonstrations(clash.needs))

    def _untold(self, needs: list[Fact]) -> list[Fact]:
        return [need for need in needs if need not in self.told]
