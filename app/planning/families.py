"""Demonstrations that share components are planned as one family; families meet in the kitchen."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from app.planning.needs import StageKey

if TYPE_CHECKING:
    from app.planning.scope import Scope


def families_of(scope: "Scope") -> list[frozenset[str]]:
    """Return the demonstrations of a day in families, in the day's order."""
    family = {each.id: each.id for each in scope.day.demonstrations}

    def head(member: str) -> str:
        while family[member] != member:
            member = family[member]
        return member

    for key, consumers in scope.consumers.items():
        for consumer in consumers:
            family[head(consumer[0])] = head(key[0])
    found: dict[str, set[str]] = {}
    for each in scope.day.demonstrations:
        found.setdefault(head(each.id), set()).add(each.id)
    return [frozenset(members) for members in found.values()]


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
