"""Who holds what a family would hold: those that stand in its way in the kitchen."""

from collections.abc import Iterator, Mapping

from app.planning.joining import Family, Joining
from app.planning.scope import Scope

HANDS = "hands"


def in_the_way(day: Joining, family: Family) -> list[Family]:
    """Return those that stand and hold what a family alone would hold, the most minutes first."""
    minutes = minutes_in_the_way(day, family)
    return sorted(minutes, key=lambda each: -minutes[each])


def minutes_in_the_way(day: Joining, family: Family) -> dict[Family, int]:
    """Return for how long those that stand hold what a family alone would hold."""
    kinds = {item.id: item.kind for item in day.scope.day.kitchen.equipment}
    wants: dict[str, list[tuple[int, int]]] = {}
    for name, starts, ends in _wants(day.scope, family, day.alone[family].values or {}):
        wants.setdefault(name, []).append((starts, ends))

    def overlap_min(other: Family) -> int:
        taken = day.taken([other])[0]
        found = [(kinds[hold.item], hold.starts, hold.ends) for hold in taken.holds]
        found += [(HANDS, a, b) for spans in taken.busy.values() for a, b, _ in spans]
        return sum(
            max(0, min(ends, until) - max(starts, since))
            for name, starts, ends in found
            for since, until in wants.get(name, ())
        )

    minutes = {other: overlap_min(other) for other in day.placed if other != family}
    return {other: found for other, found in minutes.items() if found}


def _wants(
    scope: Scope, family: Family, values: Mapping[str, int]
) -> Iterator[tuple[str, int, int]]:
    """Yield what kinds of items, or hands, an answer asks for, and about when."""
    for key, call in scope.calls_of(family):
        making = scope.makings[key]
        for i in range(call.batches):
            name = f"{making.code}/{call.run}/{i}"
            if not values.get(f"{name} present"):
                continue
            for method in making.methods:
                if values.get(f"{name} {method.way.id} chosen", 1):
                    at = values[f"{name} starts"]
                    for phase in method.way.phases:
                        ends = at + phase.length_min(1)
                        for asked in (
                            *(each.kind for each in phase.equipment),
                            *((HANDS,) if phase.hands else ()),
                        ):
                            yield asked, at, ends
                        at = ends
