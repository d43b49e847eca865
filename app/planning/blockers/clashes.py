"""Clashes: smallest sets of facts that cannot hold together, one for each independent clash.

Needs come first: the fewest that cannot be met together, the kitchen and all else being as it is.
Beside those few the other facts are dropped as far as they can be, which is quick then.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from app.planning.blockers.asking import SURE_WORK, Asking
from app.planning.blockers.facts import TOLD_IN, Fact, facts_of
from app.planning.blockers.shrinking import smallest

SIZES = (2, 4, 8, 16)
LARGEST_FAMILY = 32
AWAY_MIN = (1440, 720, 240, 60, 15, 5)

Guess = tuple[list[Fact], bool]
Guesses = Callable[[Fact, list[Fact]], Iterator[Guess]]


@dataclass(frozen=True)
class Clash:
    """Facts that cannot hold together.

    `anyway` says that not even a kitchen with endless hands and equipment could do it; `also` are
    other needs that cannot be met for the same reason.
    """

    facts: tuple[Fact, ...]
    anyway: bool
    also: tuple[Fact, ...] = ()

    @property
    def needs(self) -> tuple[Fact, ...]:
        """Return the needs among the facts."""
        return tuple(fact for fact in self.facts if fact.kind == "need" and not fact.part)

    @property
    def cause(self) -> frozenset[Fact]:
        """Return all of the facts but the needs."""
        return frozenset(self.facts) - frozenset(self.needs)


class Clashes:
    """Looks for the clashes of a day.

    Parameters
    ----------
    asking
        The day, and how much may be asked about it.
    """

    def __init__(self, asking: Asking) -> None:
        self.asking, self.case = asking, asking.case

    def found(self, lacking: list[Fact]) -> list[Clash]:
        """Return one clash for each independent one that can be found.

        Clashes of the same cause, all but the needs being told already, are told once.

        Parameters
        ----------
        lacking
            The needs that the best plan leaves short: clashes are looked for around them, among
            few needs first.
        """
        told: set[Fact] = set()
        clashes: list[Clash] = []
        for guesses in self._rounds:
            for need in lacking:
                if need in told or self.asking.decider.over():
                    continue
                clash = self._around(need, guesses, told)
                if clash is not None:
                    told.update(clash.needs)
                    _add(clashes, clash)
                    self.asking.decider.watch.told("blockers", len(clashes), None)
        return clashes

    def _around(self, need: Fact, guesses: Guesses, told: set[Fact]) -> Clash | None:
        needs = [each for each in self.case.needs if each not in told]
        for some, real in guesses(need, needs):
            others = facts_of(self.case.day, self.case.demonstrations(some))
            if self.asking.possible([*some, *others], real=real) is False:
                return self._shrunk(some, others, real)
        return None

    @property
    def _rounds(self) -> list[Guesses]:
        """Return where to look: at one need, then at ever more around it."""
        sizes = (partial(self._some, size) for size in SIZES)
        return [self._itself, self._family, *sizes]

    def _itself(self, need: Fact, needs: list[Fact]) -> Iterator[Guess]:
        yield [need], False
        yield [need], True

    def _family(self, need: Fact, needs: list[Fact]) -> Iterator[Guess]:
        akin = self._akin(need, needs)
        if len(akin) <= LARGEST_FAMILY:
            yield akin, False

    def _some(self, size: int, need: Fact, needs: list[Fact]) -> Iterator[Guess]:
        """Yield the nearest needs of the family, and of all that may want the same equipment."""
        kinds = self.case.kinds_for(need)
        rivals = [each for each in needs if kinds & self.case.kinds_for(each)] if kinds else needs
        for group in (self._akin(need, needs), rivals):
            if len(group) > size // 2:
                yield sorted(group, key=partial(self._away, need))[:size], True

    def _akin(self, need: Fact, needs: list[Fact]) -> list[Fact]:
        family = self.case.demonstrations([need])
        return [each for each in needs if self.case.shown[each.ids[0]] in family]

    def _away(self, one: Fact, other: Fact) -> tuple[int, bool]:
        """Return how far a need is from another: in minutes, then by run."""
        starts = self.case.starts
        return abs(starts[one.ids] - starts[other.ids]), one.ids[0] != other.ids[0]

    def _shrunk(self, needs: list[Fact], others: list[Fact], real: bool) -> Clash | None:
        """Return a smallest clash of some needs and other facts that clash."""

        def clash_of_needs(some: Sequence[Fact]) -> bool:
            return self.asking.possible([*some, *others], real=real) is False

        few = smallest(needs, clash_of_needs) if len(needs) > 1 else needs
        others = facts_of(self.case.day, self.case.demonstrations(few))

        def clash(some: Sequence[Fact]) -> bool:
            return self.asking.possible([*few, *some]) is False

        facts = self._spared([*few, *smallest(others, clash)])
        if not self.asking.confirmed(facts):
            return None
        anyway = not any(fact.kind in ("crew", "equipment", "shelf") for fact in facts)
        facts += self._times(facts)
        return Clash(tuple(sorted(facts, key=self._order)), anyway)

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


def _add(clashes: list[Clash], clash: Clash) -> None:
    """Add a clash to those that are told, or its needs to the one that has the same cause."""
    for i, known in enumerate(clashes):
        if clash.cause <= known.cause:
            clashes[i] = replace(known, also=(*known.also, *clash.needs))
            return
    clashes.append(clash)
