"""A clash: facts of a day that cannot hold together."""

from dataclasses import dataclass

from app.planning.blockers.facts import IN_THE_KITCHEN, Fact


@dataclass(frozen=True)
class Clash:
    """Facts that cannot hold together.

    `anyway` says that not even a kitchen with endless hands and equipment could do it; `also` are
    other needs that cannot be met for the same reason; `akin` are further ones, each in a smallest
    set of such facts as well: by steps of their own, with the same hands, equipment or shelves;
    `hanging` would have what beats leave of which one of all these needs has no copy. One that
    `is_counted` is no smallest set, but some of all that there is too little for.
    """

    facts: tuple[Fact, ...]
    anyway: bool
    also: tuple[Fact, ...] = ()
    akin: tuple[Fact, ...] = ()
    hanging: tuple[Fact, ...] = ()
    is_counted: bool = False

    @property
    def every(self) -> frozenset[Fact]:
        """Return all needs that it tells of."""
        return frozenset((*self.needs, *self.also, *self.akin, *self.hanging))

    @property
    def needs(self) -> tuple[Fact, ...]:
        """Return the needs among the facts."""
        return tuple(fact for fact in self.facts if fact.kind == "need" and not fact.part)

    @property
    def moved_runs(self) -> tuple[str, ...]:
        """Return the runs whose time is one of the facts: at another one, the rest is possible."""
        return tuple(fact.ids[0] for fact in self.facts if fact.kind == "run" and not fact.part)

    @property
    def cause(self) -> frozenset[Fact]:
        """Return the facts that are no needs, nor the times of runs, by which needs differ."""
        runs = {Fact("run", (run,)) for run in self.moved_runs}
        return frozenset(self.facts) - frozenset(self.needs) - runs

    @property
    def kitchen(self) -> tuple[Fact, ...]:
        """Return the facts that are about hands, equipment and shelves."""
        return tuple(fact for fact in self.facts if fact.kind in IN_THE_KITCHEN)

    @property
    def lacks_room(self) -> bool:
        """Tell whether shelves are all of the kitchen that it is about."""
        return {fact.kind for fact in self.kitchen} == {"shelf"}
