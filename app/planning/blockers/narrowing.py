"""From needs that cannot be met to a smallest clash: the fewest needs, then the fewest facts."""

from collections.abc import Callable, Collection, Sequence
from functools import partial

from app.planning.blockers.asking import SPARE_WORK, Asking
from app.planning.blockers.clash import Clash
from app.planning.blockers.deciding import Counts
from app.planning.blockers.facts import IN_THE_KITCHEN, TOLD_IN, Fact
from app.planning.blockers.shrinking import smallest

AWAY_MIN = (1440, 720, 240, 60, 15, 5)
# A clash of which more stays unknown than this is left: others may be told for less.
MOST_UNKNOWN = 2
CROWD_WORK, TIMES_WORK = 0.06, 0.8
OF_STAGES = ("way", "keeps")


class Narrowing:
    """Narrows down what clashes.

    Parameters
    ----------
    asking
        The day, and how much may be asked about it.
    """

    def __init__(self, asking: Asking) -> None:
        self.asking, self.case = asking, asking.case
        self._unsearched = [asking.is_beyond_windows, asking.is_crowded]
        self._blamed: set[Fact] = set()
        self._unknown = 0

    def clash_of(self, needs: list[Fact]) -> Clash | None:
        """Return a smallest clash of some needs that cannot be met; None if no proof stands.

        Parameters
        ----------
        needs
            Needs that cannot be met together, all other facts being as they are.
        """
        self._unknown = 0
        few = self._fewest(needs) if len(needs) > 1 else needs
        if self._unknown > MOST_UNKNOWN:
            return None
        facts = self._fewer(few, self._others(few))
        if self._unknown > MOST_UNKNOWN:
            return None
        sure = self._spared(facts)
        if sure is None or not self.asking.confirmed(sure):
            return None
        anyway = not any(fact.kind in IN_THE_KITCHEN for fact in sure)
        clash = Clash(tuple(sorted([*sure, *self._times(sure)], key=self._order)), anyway)
        self._blamed |= clash.cause
        return clash

    def _fewest(self, needs: list[Fact]) -> list[Fact]:
        """Return the fewest needs that cannot be met together, all else being as it is.

        They are looked for where little of the kitchen counts, if that is enough to show it.
        """
        others = self._others(needs)
        for simple in self._simple_first():
            shown = partial(_beside, simple, others)
            if shown(needs):
                return smallest(needs, shown)
        return needs

    def _fewer(self, needs: list[Fact], others: list[Fact]) -> list[Fact]:
        """Return the needs with fewer facts beside them that clash with them still.

        What shows the clash most simply does. What is left then is little for the kitchen as it is.
        """
        for simple in self._simple_first():
            if simple([*needs, *others]):
                near = self._near(needs, others)
                others = near if simple([*needs, *near]) else others
                others = smallest(others, partial(_beside, simple, needs))
                if simple in self._unsearched:
                    break
        return [*needs, *others]

    def _near(self, needs: list[Fact], others: list[Fact]) -> list[Fact]:
        """Return the other facts that are about the stages of needs themselves, or the kitchen."""
        stages = {self.case.stage_of(need) for need in needs}
        return [fact for fact in others if fact.kind not in OF_STAGES or fact.ids[:2] in stages]

    def _simple_first(self) -> list[Callable[[Collection[Fact]], bool]]:
        """Return what may show that facts clash, the simplest first.

        That is windows alone, counting alone, a kitchen with endless hands and ovens, one that has
        its shelves besides, and the kitchen as it is.
        """
        return [*self._unsearched, *(partial(self._clashes, counts=counts) for counts in Counts)]

    def _clashes(self, facts: Collection[Fact], counts: Counts) -> bool:
        """Tell whether facts are known to clash; where too much stays unknown, nothing is asked."""
        if self._unknown > MOST_UNKNOWN:
            return False
        found = self.asking.possible(facts, counts=counts)
        self._unknown += found is None and counts is Counts.ALL
        return found is False

    def _others(self, needs: list[Fact]) -> list[Fact]:
        """Return the other facts: first those that a clash was told to be about before."""
        others = self.case.beside(needs)
        return sorted(others, key=lambda fact: fact not in self._blamed)

    def _spared(self, facts: list[Fact]) -> list[Fact] | None:
        """Return the facts without those that can be spared after all.

        None, if it stays unknown whether some of them can be: it may be no smallest clash then.
        Where one can be, it may be known of fewer.
        """
        work = CROWD_WORK if self.asking.is_crowded(facts) else SPARE_WORK
        unknown = 0
        for fact in facts:
            rest = [each for each in facts if each != fact]
            found = self.asking.possible(rest, work=work)
            if found is False:
                return self._spared(rest)
            unknown += found is None
            if unknown > MOST_UNKNOWN:
                break
        return None if unknown else facts

    def _times(self, facts: list[Fact]) -> list[Fact]:
        """Return the runs whose time is one of the facts: at another one, the rest is possible.

        Runs of which that is not shown within the work are left out: they are as they are.
        """
        runs = dict.fromkeys(fact.ids[0] for fact in facts if fact.kind == "need")
        least, found = self.asking.decider.work - TIMES_WORK, []
        for run in runs:
            if self.asking.decider.work > least and self._is_held_by_time(run, facts):
                found.append(Fact("run", (run,)))
        return found

    def _is_held_by_time(self, run: str, facts: list[Fact]) -> bool:
        for away_min in AWAY_MIN:
            for moved_min in (away_min, -away_min):
                if self.asking.possible_when_moved(facts, {run: moved_min}):
                    return True
        return False

    def _order(self, fact: Fact) -> tuple[int, int, tuple[str, ...], str]:
        starts = self.case.starts.get(fact.ids, 0)
        return TOLD_IN.index(fact.kind), starts, fact.ids, fact.part


def _beside(
    clash: Callable[[Collection[Fact]], bool], needs: Sequence[Fact], some: Sequence[Fact]
) -> bool:
    return clash([*needs, *some])
