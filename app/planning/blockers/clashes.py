"""Clashes: smallest sets of facts that cannot hold together, one for each independent clash.

What lacks is asked for many needs at once, since what is possible for them together is so for each
of them: first family by family, then for needs of several families that may want the same
equipment. Where something clashes, the needs come first: the fewest that cannot be met together,
the kitchen and all else being as it is. Beside those few the other facts are dropped as far as they
can be, which is quick then. For that, some of the work is kept back while it is looked around.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial

from app.planning.blockers.asking import Asking
from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact, facts_of
from app.planning.blockers.narrowing import Narrowing

# How many needs are asked for together: first so that each is among some, then around each.
FIRST_SIZES, SIZES = (8, 16), (8, 2, 4, 16)
LOOK_WORK, KEPT_BACK = 0.1, 1.0
LARGEST_FAMILY = 32


class Clashes:
    """Looks for the clashes of a day.

    Parameters
    ----------
    asking
        The day, and how much may be asked about it.
    """

    def __init__(self, asking: Asking) -> None:
        self.asking, self.case = asking, asking.case
        self.narrowing = Narrowing(asking)
        self.told: set[Fact] = set()
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
        for some in self._by_family(lacking):
            self._among(some, True, lacking)
        for size in FIRST_SIZES:
            self._around(lacking, size, spread=True)
        for some in self._by_family(lacking):
            akin = self._untold(self._akin(some[0], self.case.needs))
            if len(akin) <= LARGEST_FAMILY and self._untold(some) and not self._is_late():
                self._among(akin, False, lacking)
        for size in SIZES:
            self._around(lacking, size)
        return self.clashes

    def _around(self, lacking: list[Fact], size: int, spread: bool = False) -> None:
        """Tell the clashes among needs near each lacking one, or near some, so as to ask of all."""
        seen: set[Fact] = set()
        for need in self._untold(lacking):
            if need in self.told or (spread and need in seen):
                continue
            for some in self._nearest(need, size):
                if need not in self.told and not self._is_late():
                    self._among(some, True, lacking)
                    seen.update(some)

    def _is_late(self) -> bool:
        """Tell whether the work that is left is for what was found already."""
        return self.asking.decider.over() or self.asking.decider.work < KEPT_BACK

    def _among(self, needs: list[Fact], real: bool, lacking: list[Fact]) -> None:
        """Tell all clashes among some needs; halves of them where all together is not decided."""
        while (some := self._untold(needs)) and not self._is_late():
            found = self._possible(some, real)
            if found is None and len(some) > 1:
                half = len(some) // 2
                for part in (some[:half], some[half:]):
                    self._among(part, real, lacking)
            if found is not False or not self._told_of(some, real, lacking):
                return

    def _told_of(self, needs: list[Fact], real: bool, lacking: list[Fact]) -> bool:
        """Tell what clashes among needs that cannot be met together: first each by itself.

        The answer is whether something new was told.
        """
        before = len(self.told)
        for need in needs if len(needs) > 1 else ():
            if need not in self.told and self._possible([need], real) is False:
                self._tell(self.narrowing.clash_of([need], real), lacking)
        if len(self.told) == before:
            self._tell(self.narrowing.clash_of(needs, real), lacking)
        return len(self.told) > before

    def _possible(self, needs: list[Fact], real: bool) -> bool | None:
        """Tell whether some needs can be met, all else being as it is."""
        others = facts_of(self.case.day, self.case.demonstrations(needs))
        return self.asking.possible([*needs, *others], real=real, work=LOOK_WORK)

    def _tell(self, clash: Clash | None, lacking: list[Fact]) -> None:
        """Add a clash to those that are told, or its needs to the one that has the same cause."""
        if clash is None:
            return
        self.told.update(clash.needs)
        known = next((each for each in self.clashes if clash.cause <= each.cause), None)
        if known is not None:
            self._tell_also(known, clash.needs)
            return
        self.clashes.append(clash)
        if len(clash.needs) == 1:
            self._tell_also(clash, self._same(clash, lacking))
        self.asking.decider.watch.told("blockers", len(self.clashes), None)

    def _tell_also(self, clash: Clash, needs: Iterable[Fact]) -> None:
        more = tuple(needs)
        self.told.update(more)
        place = self.clashes.index(clash)
        self.clashes[place] = replace(clash, also=(*clash.also, *more))

    def _same(self, clash: Clash, lacking: list[Fact]) -> Iterator[Fact]:
        """Yield the lacking needs that cannot be met for the same reason, each by itself."""
        about = {fact.ids[0] for fact in clash.cause if fact.kind in ("way", "keeps")}
        for run in dict.fromkeys(need.ids[0] for need in lacking):
            if about and self.case.shown[run] not in self.case.demonstrations(clash.needs):
                continue
            needs = [need for need in self._untold(lacking) if need.ids[0] == run]
            if needs and self.asking.possible([*needs, *clash.cause]) is not True:
                yield from (
                    need for need in needs if self.asking.possible([need, *clash.cause]) is False
                )

    def _untold(self, needs: list[Fact]) -> list[Fact]:
        return [need for need in needs if need not in self.told]

    def _by_family(self, lacking: list[Fact]) -> list[list[Fact]]:
        """Return what lacks, that of each family by itself."""
        families: dict[frozenset[str], list[Fact]] = {}
        for need in lacking:
            families.setdefault(self.case.demonstrations([need]), []).append(need)
        return list(families.values())

    def _nearest(self, need: Fact, size: int) -> Iterator[list[Fact]]:
        """Yield the nearest needs of the family, and of all that may want the same equipment."""
        kinds = self.case.kinds_for(need)
        needs = self._untold(self.case.needs)
        rivals = [each for each in needs if kinds & self.case.kinds_for(each)] if kinds else needs
        for group in (self._akin(need, needs), rivals):
            if len(group) > size // 2:
                yield sorted(group, key=partial(self._away, need))[:size]

    def _akin(self, need: Fact, needs: list[Fact]) -> list[Fact]:
        family = self.case.demonstrations([need])
        return [each for each in needs if self.case.shown[each.ids[0]] in family]

    def _away(self, one: Fact, other: Fact) -> tuple[int, bool]:
        """Return how far a need is from another: in minutes, then by run."""
        starts = self.case.starts
        return abs(starts[one.ids] - starts[other.ids]), one.ids[0] != other.ids[0]
