"""What the tests of blockers ask for: the clashes of a day, and their facts to be compared."""

from typing import Any

from app.planning.blockers.clash import Clash
from app.planning.day import Day
from app.planning.solve import solve
from tests.bench import blockers

Document = dict[str, Any]
Told = tuple[str, tuple[str, ...], str]


def oven_day(demonstrations: list[Document], runs: list[Document], **oven: Any) -> Day:
    """Return a day of a kitchen with one oven and nobody at work."""
    return Day.model_validate(
        {
            "title": "At the oven",
            "timezone": "Europe/Lisbon",
            "prep_from": "2027-03-04T08:00",
            "kitchen": {"equipment": [{"id": "oven", "kind": "oven", **oven}]},
            "demonstrations": demonstrations,
            "runs": runs,
        }
    )


def clashes(day: Day) -> list[Clash]:
    """Return the clashes of a day, as they are looked for around what its plan lacks."""
    return blockers.clashes(day, solve(day))


def told(clash: Clash) -> set[Told]:
    """Return the facts of a clash, to be compared."""
    return {(fact.kind, fact.ids, fact.part) for fact in clash.facts}
