"""Some families planned beside others that stand: which hands and items those take, and when."""

from app.planning.day import Day
from app.planning.draft import Draft
from app.planning.holds import Hold, Occupied, holds_in


def occupied_by(day: Day, draft: Draft) -> Occupied:
    """Return what the batches of a draft take of the kitchen."""
    holds: list[Hold] = []
    busy: dict[str, list[tuple[int, int, int]]] = {}
    for made in draft.made:
        spans = [(work.starts, work.ends) for work in made.work]
        items = [work.items for work in made.work]
        holds += holds_in(day, made.method.way.phases, items, spans)
        for work in (work for work in made.work if work.starts < work.ends):
            for team, hands in work.teams.items():
                busy.setdefault(team, []).append((work.starts, work.ends, hands))
    return Occupied(tuple(holds), {team: tuple(spans) for team, spans in busy.items()})
