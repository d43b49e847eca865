"""Some families planned beside others that stand: what those take of the kitchen, and when."""

from app.planning.draft import Draft
from app.planning.holds import Hold, Occupied, Taken, holds_in
from app.planning.places import stays_of
from app.planning.scope import Scope


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
