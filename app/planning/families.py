"""Demonstrations that share components are planned as one family; families meet in the kitchen."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from app.planning.day import Day
from app.planning.needs import StageKey

if TYPE_CHECKING:
    from app.planning.scope import Scope


def families_of(scope: "Scope") -> list[frozenset[str]]:
    """Return the demonstrations of a day in families, in the day's order: by what can be made."""
    taken = [(each[0], key[0]) for key, some in scope.consumers.items() for each in some]
    return list(dict.fromkeys(_joined(scope.day, taken).values()))


def kin_in(day: Day) -> dict[str, frozenset[str]]:
    """Return for each demonstration its family, itself included: by all ways, possible or not."""
    taken = [
        (home.id, each.demonstration or home.id)
        for home, stage in day.all_stages()
        for way in stage.ways
        for each in stage.takes_by(way)
    ]
    return _joined(day, taken)


def _joined(day: Day, links: Iterable[tuple[str, str]]) -> dict[str, frozenset[str]]:
    """Return for each demonstration, in the day's order, all that it is linked to, however far."""
    family = {each.id: frozenset([each.id]) for each in day.demonstrations}
    for one, other in links:
        if other not in family[one]:
            both = family[one] | family[other]
            family |= dict.fromkeys(both, both)
    return family


def in_order(scope: "Scope") -> list[frozenset[str]]:
    """Return the families of a day, those that are shown first first."""
    first: dict[str, int] = {}
    for use in scope.needs.uses:
        first[use.stage[0]] = min(first.get(use.stage[0], use.due), use.due)
    return sorted(families_of(scope), key=lambda family: min(first.get(each, 0) for each in family))


def stages_of(scope: "Scope", members: Iterable[str]) -> tuple[StageKey, ...]:
    """Return the stages of demonstrations, in the day's order."""
    wanted = set(members)
    return tuple(key for key in scope.makings if key[0] in wanted)


def owner(name: str) -> str:
    """Return the demonstration that a variable of the model speaks of, by its name."""
    return name.split("/", 1)[0]
