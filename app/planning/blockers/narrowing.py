"""From needs that cannot be met to a smallest clash: the fewest needs, then the fewest facts."""

from collections.abc import Callable, Collection, Sequence
from functools import partial

from app.planning.blockers.asking import SPARE_WORK, Asking
from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import TOLD_IN, Fact, facts_of
from app.planning.blockers.shrinking import smallest

AWAY_MIN = (1440, 720, 240, 60, 15, 5)
# A clash of which more stays unknown than this is left: others may be told for less.
MOST_UNKNOWN = 2
IN_THE_KITCHEN = ("crew", "equipment", "shelf")


class Narrowing:
    """Narrows down what clashes.

    Parameters
    ----------
    asking
        The day, and how much may be asked about it.
    """

    def __init__(self, asking: Asking) -> None:
        self.asking, self.case = asking, asking.case
        self._blamed: set[Fact] = set()
        self._unknown = 0

    def clash_of(self, needs: list[Fact], real: bool) -> Clash | None:
        """Return a smallest clash of some needs that cannot be met; None if no proof stands.

        Parameters
        ----------
        needs
            Needs that cannot be met together, all other facts being as they are.
        real
            Whether that is so only where hands and equipment count.
        """
        self._unknown = 0
        few = self._fewest(needs, real)
        if self._unknown > MOST_UNKNOWN:
            return None
        facts = self._fewer(few, self._others(few))
        if self._unknown > MOST_UNKNOWN:
            return None
        facts = self._spared(facts)
        if not self.asking.confirmed(facts):
            return None
        anyway = not any(fact.kind in IN_THE_KITCHEN for fact in facts)
        facts += self._times(facts)
        clash = Clash(tuple(sorted(facts, key=self._order)), anyway)
        self._blamed |= clash.cause
        return clash

    def _fewest(self, needs: list[Fact], real: bool) -> list[Fact]:
        """Return the fewest needs that cannot be met together, all else being as it is."""
        others = self._others(needs)

        def clash(some: Sequence[Fact]) -> bool:
            return self._clashes([*some, *others], real)

        return smallest(needs, clash) if len(needs) > 1 else needs

    def _fewer(self, needs: list[Fact], others: list[Fact]) -> list[Fact]:
        """Return the needs with fewer facts beside them that clash with them still.

        What shows the clash most simply does: windows alone, else a kitchen with endless hands and
        ovens. What is left then is little for the kitchen as it is.
        """
        asking = self.asking
        if asking.is_beyond_windows([*needs, *others]):
            return [*needs, *smallest(others, partial(_beside, asking.is_beyond_windows, needs))]
        for simple in (asking.is_beyond_any_kitchen, self._clashes):
            if simple([*needs, *others]):
                others = smallest(others, partial(_beside, simple, needs))
        return [*needs, *others]

    def _clashes(self, facts: Collection[Fact], real: bool = True) -> bool:
        """Tell whether facts are known to clash; where too much stays unknown, nothing is asked."""
        if self._unknown > MOST_UNKNOWN:
            return False
        found = self.asking.possible(facts, real=real)
        self._unknown += found is None
        return found is False

    def _others(self, needs: list[Fact]) -> list[Fact]:
        """Return the other facts: first those that a clash was told to be about before."""
        others = facts_of(self.case.day, self.case.demonstrations(needs))
        return sorted(others, key=lambda fact: fact not in self._blamed)

    def _spared(self, facts: list[Fact]) -> list[Fact]:
        """Return the facts without those that can be spared after all."""
        for fact in list(facts):
            rest = [each for each in facts if each != fact]
            if self.asking.possible(rest, work=SPARE_WORK) is False:
                return self._spared(rest)
        return facts

    def _times(self, facts: list[Fact]) -> list[Fact]:
        """Return the runs whose time is one of the facts: at another one, the rest is possible."""
        runs = dict.fromkeys(fact.ids[0] for fact in facts if fact.kind == "need")
        return [Fact("run", (run,)) for run in runs if self._is_held_by_time(run, facts)]

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
