"""From needs that cannot be met to a smallest clash: the fewest needs, then the fewest facts."""

from collections.abc import Sequence

from app.planning.blockers.asking import SURE_WORK, Asking
from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import TOLD_IN, Fact, facts_of
from app.planning.blockers.shrinking import smallest

AWAY_MIN = (1440, 720, 240, 60, 15, 5)


class Narrowing:
    """Narrows down what clashes.

    Parameters
    ----------
    asking
        The day, and how much may be asked about it.
    """

    def __init__(self, asking: Asking) -> None:
        self.asking, self.case = asking, asking.case

    def clash_of(self, needs: list[Fact], real: bool) -> Clash | None:
        """Return a smallest clash of some needs that cannot be met; None if no proof stands.

        Parameters
        ----------
        needs
            Needs that cannot be met together, all other facts being as they are.
        real
            Whether that is so only where hands and equipment count.
        """
        others = self._others(needs)

        def clash_of_needs(some: Sequence[Fact]) -> bool:
            return self.asking.possible([*some, *others], real=real) is False

        few = smallest(needs, clash_of_needs) if len(needs) > 1 else needs
        others = self._others(few)

        def clash(some: Sequence[Fact]) -> bool:
            return self.asking.possible([*few, *some]) is False

        facts = self._spared([*few, *smallest(others, clash)])
        if not self.asking.confirmed(facts):
            return None
        anyway = not any(fact.kind in ("crew", "equipment", "shelf") for fact in facts)
        facts += self._times(facts)
        return Clash(tuple(sorted(facts, key=self._order)), anyway)

    def _others(self, needs: list[Fact]) -> list[Fact]:
        return facts_of(self.case.day, self.case.demonstrations(needs))

    def _spared(self, facts: list[Fact]) -> list[Fact]:
        """Return the facts without those that can be spared after all."""
        for fact in list(facts):
            rest = [each for each in facts if each != fact]
            if self.asking.possible(rest, work=SURE_WORK) is False:
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
