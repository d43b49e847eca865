"""Hands by name: what a team does is given to its cooks, the one who began going on if free."""

from app.planning.day import Day
from app.planning.draft import Draft, Work
from app.planning.hours import teams_of


def name_crew(day: Day, draft: Draft) -> None:
    """Give each phase with hands its cooks by name."""
    for team in teams_of(day):
        free_from = dict.fromkeys(team.cooks, -(10**9))
        works = [
            (work.starts, made.id, i, work, made.work)
            for made in draft.made
            for i, work in enumerate(made.work)
            if team.name in work.teams
        ]
        for _, _, _, work, batch in sorted(works, key=lambda each: each[:3]):
            _give(work, batch, work.teams[team.name], free_from)


def _give(work: Work, batch: list[Work], hands: int, free_from: dict[str, int]) -> None:
    began = {cook for each in batch for cook in each.crew}
    free = [cook for cook in free_from if free_from[cook] <= work.starts]
    free.sort(key=lambda cook: (cook not in began, free_from[cook]))
    for cook in free[:hands]:
        work.crew.append(cook)
        free_from[cook] = work.ends
