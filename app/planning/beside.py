"""Some families planned beside others that stand: what those take of the kitchen, and when."""

from collections.abc import Collection, Iterable
from copy import copy
from dataclasses import replace

from app.planning.draft import Draft
from app.planning.frozen import Shelved
from app.planning.gaps import Gaps
from app.planning.holds import Hold, Occupied, Taken, holds_in, together
from app.planning.hours import meet, starts_where
from app.planning.places import stays_of
from app.planning.scope import Making, Scope
from app.planning.warmth import Warmth


def beside(
    scope: Scope, taken: Iterable[Occupied], members: Collection[str], slots: int | None
) -> Scope:
    """Return a day with some more of it taken.

    Parameters
    ----------
    taken
        What is taken of the kitchen.
    members
        The demonstrations that are planned beside it: their batches start where they find a gap.
    slots
        How many slots are left free in each zone; None: slots are not counted.
    """
    other = copy(scope)
    other.occupied = together((scope.occupied, *taken))
    if slots is not None:
        standing = other.occupied.standing
        zones = {shelf.zone for shelf in scope.day.kitchen.shelves}
        other.rooms = {zone: Shelved(zone, slots, standing.get(zone, ())) for zone in sorted(zones)}
    other.warmth = Warmth(scope.prep_from, other.occupied.holds, scope.lit)
    gaps = Gaps(scope.day, scope.teams, other.occupied)
    other.makings = {
        key: _in_gaps(making, gaps) if key[0] in members else making
        for key, making in scope.makings.items()
    }
    return other


def _in_gaps(making: Making, gaps: Gaps) -> Making:
    """Return a stage whose batches start only where each phase finds a gap."""
    methods = []
    for method in making.methods:
        started = method.started
        found = starts_where(method.way, started[1], started[-1], gaps.starts)
        methods.append(replace(method, starts=meet(method.starts, found)))
    return replace(making, methods=tuple(methods))


def occupied_by(scope: Scope, draft: Draft) -> Occupied:
    """Return what the batches and the copies of a draft take of the kitchen."""
    holds: list[Hold] = []
    busy: dict[str, list[Taken]] = {}
    for made in draft.made:
        spans = [(work.starts, work.ends) for work in made.work]
        items = [work.items for work in made.work]
        holds += holds_in(scope.day, made.method.way.phases, items, spans)
        for work in (work for work in made.work if work.starts < work.ends):
            for team, hands in work.teams.items():
                busy.setdefault(team, []).append((work.starts, work.ends, hands))
    standing: dict[str, list[Taken]] = {}
    for stay in stays_of(scope, draft):
        standing.setdefault(stay.zone, []).append((stay.starts, stay.ends, stay.slots))
    return Occupied(tuple(holds), _closed(busy), _closed(standing))


def _closed(found: dict[str, list[Taken]]) -> dict[str, tuple[Taken, ...]]:
    return {name: tuple(spans) for name, spans in found.items()}
