"""What the tests of blockers ask for: the clashes of a day, and their facts to be compared."""

from app.planning.blockers.clash import Clash
from app.planning.day import Day
from app.planning.solve import solve
from tests.bench import blockers

Told = tuple[str, tuple[str, ...], str]


def clashes(day: Day) -> list[Clash]:
    """Return the clashes of a day, as they are looked for around what its plan lacks."""
    return blockers.clashes(day, solve(day))


def told(clash: Clash) -> set[Told]:
    """Return the facts of a clash, to be compared."""
    return {(fact.kind, fact.ids, fact.part) for fact in clash.facts}
