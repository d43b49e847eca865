"""What is told of the clashes that were found: each once, with all that goes with it."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from app.planning.blockers.asking import Asking
from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import IN_THE_KITCHEN, Fact
from app.planning.blockers.groups import Groups
from app.planning.blockers.shrinking import smallest

LOOK_WORK = 0.04
# For so much it is looked at the end for what goes with the clashes that were found.
LAST_WORK = 0.5


class Telling:
    """What is told so far.

    Parameters
    ----------
    asking
        The day, and how much may be asked about it.

    `told` are the needs of which it is known why they lack, `alone` those of them that cannot be
    met each by itself.
    """

    def __init__(self, asking: Asking) -> None:
        self.asking, self.case, self.groups = asking, asking.case, Groups(asking.case)
        self.told: set[Fact] = set()
        self.alone: set[Fact] = set()
        self.clashes: list[Clash] = []

    def untold(self, needs: Sequence[Fact]) -> list[Fact]:
        """Return the needs of which nothing is told."""
        return [need for need in needs if need not in self.told]

    def tell(self, clash: Clash | None, lacking: list[Fact]) -> None:
        """Add a clash to those that are told, or its needs to the one that has the same cause."""
        if clash is None:
            return
        self.told.update(clash.needs)
        self.alone.update(clash.needs if len(clash.needs) == 1 else ())
        known = next((each for each in self.clashes if clash.cause <= each.cause), None)
        if known is not None:
            self._put_also(known, clash.needs)
            return
        self.clashes.append(clash)
        if len(clash.needs) == 1:
            same = list(self._same(clash, lacking))
            self.alone.update(same)
            self._put_also(clash, same)
            self._tell_akin(self.clashes[-1], lacking)
        self.asking.decider.watch.told("blockers", len(self.clashes), None)

    def is_told_again(self, needs: list[Fact]) -> bool:
        """Tell whether some of the needs clash with the cause of a clash that is told already.

        They are told along with it then.
        """
        for known in self.clashes:
            cause = list(known.cause)
            if cause and self._may_cause(known, needs):
                clash = partial(self._clashes_with, cause)
                if clash(needs):
                    self._put_also(known, smallest(needs, clash))
                    return True
        return False

    def _clashes_with(self, cause: list[Fact], needs: Sequence[Fact]) -> bool:
        return self.asking.possible([*needs, *cause], work=LOOK_WORK) is False

    def tell_beside(self, shelves: frozenset[Fact], need: Fact) -> None:
        """Tell of a need with a clash about some shelves that it has no room on them, either."""
        known = next((each for each in self.clashes if not shelves.isdisjoint(each.facts)), None)
        if known is not None:
            self._put(known, replace(known, akin=(*known.akin, need)))

    def _put_also(self, clash: Clash, needs: Sequence[Fact]) -> None:
        self.alone.update(needs if len(needs) == 1 else ())
        self._put(clash, replace(clash, also=(*clash.also, *needs)))

    def _put(self, clash: Clash, told: Clash) -> None:
        """Put a clash that tells of more needs in the place of one that is told."""
        self.told |= told.every
        self.clashes[self.clashes.index(clash)] = told

    def _same(self, clash: Clash, lacking: list[Fact]) -> Iterator[Fact]:
        """Yield the lacking needs that cannot be met for the same reason, each by itself."""
        needs = [need for need in self.untold(lacking) if self._may_cause(clash, [need])]
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

    def _tell_akin(self, clash: Clash, lacking: list[Fact]) -> None:
        """Tell of the lacking needs that cannot be met, each by itself, with the same hands and
        equipment, as the windows of their own steps alone show.
        """
        if not clash.kitchen:
            return
        akin: list[Fact] = []
        for family in self.groups.families(self.untold(lacking)):
            akin += self.asking.beyond_windows(family, self._in_its_kitchen(clash, family))
        self.alone.update(akin)
        self._put(clash, replace(clash, akin=(*clash.akin, *akin)))

    def _in_its_kitchen(self, clash: Clash, needs: Sequence[Fact]) -> list[Fact]:
        """Return the facts beside some needs; of the kitchen, those that a clash is about."""
        others = self.case.beside(needs)
        return [*(fact for fact in others if fact.kind not in IN_THE_KITCHEN), *clash.kitchen]

    def tell_more(self, families: list[list[Fact]], lacking: list[Fact]) -> None:
        """Tell which needs left clash like those that are told, and which hang on them.

        Where only backups lack, every beat has its copies and leaves what it leaves.
        """
        self.asking.decider.work = max(self.asking.decider.work, LAST_WORK)
        for clash in tuple(self.clashes):
            self._tell_instead(clash, lacking)
        for family in () if self.case.backups else families:
            self._hang(family)

    def _tell_instead(self, clash: Clash, lacking: list[Fact]) -> None:
        """Tell of the lacking needs that clash with the rest of a clash, instead of one of it.

        The steps are theirs, the hands, equipment and shelves those of the clash; without such a
        need the rest is possible.
        """
        akin: list[Fact] = []
        for need in self.untold(lacking) if clash.kitchen else ():
            family = self.case.demonstrations([need])
            rest = [each for each in clash.needs if self.case.demonstrations([each]) != family]
            if not 0 < len(rest) < len(clash.needs) or self.asking.decider.over():
                continue
            rest += self._in_its_kitchen(clash, [need, *rest])
            if (
                self.asking.possible([need, *rest], work=LOOK_WORK) is False
                and self.asking.possible(rest, work=LOOK_WORK) is True
            ):
                akin.append(need)
        self._put(clash, replace(clash, akin=(*clash.akin, *akin)))

    def _hang(self, family: list[Fact]) -> None:
        """Tell which needs left would have what beats leave of which a need has no copy at all."""
        others = self.case.beside(family)
        gone, hanging = self._gone(family, others), list[Fact]()
        while gone and (more := set(self.asking.beyond_windows(family, others, gone)) - {*gone}):
            gone += [need for need in family if need in more]
            hanging += self.untold([need for need in family if need in more])
        known = next((each for each in self.clashes if not each.every.isdisjoint(gone)), None)
        if known is not None and hanging:
            self._put(known, replace(known, hanging=(*known.hanging, *hanging)))

    def _gone(self, family: list[Fact], others: list[Fact]) -> list[Fact]:
        """Return which needs that are told have no copy at all, whatever becomes of others."""
        beyond = self.asking.beyond_windows(family, others)
        single = [need for need in family if need in self.alone and self.case.counts[need.ids] == 1]
        return [need for need in dict.fromkeys([*beyond, *single]) if need in self.told]

    def at_least(self) -> int:
        """Return how much lacks whatever the plan: clashes share no need, so each costs one."""
        hanging = {need for clash in self.clashes for need in clash.hanging}
        return len(self.alone | hanging) + sum(len(clash.needs) > 1 for clash in self.clashes)
