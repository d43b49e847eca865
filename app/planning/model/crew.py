"""Rule `crew`: skill, shift, one thing at a time, the same minutes as the phase.

Cooks with the same shifts and skills are one team: whatever a team of k does, never more than k
at once and each phase inside one shift, can be given to its cooks by name afterwards.
"""

from dataclasses import dataclass

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.model.batches import Maybe, Span
from app.planning.model.sheet import Expr, Lit, Sheet, total
from app.planning.needs import StageKey


@dataclass(frozen=True)
class Team:
    """Cooks that are alike."""

    name: str
    cooks: tuple[str, ...]
    shifts: tuple[tuple[int, int], ...]
    skills: frozenset[str]


def teams_of(day: Day) -> list[Team]:
    """Return the crew in teams of the same shifts and skills, in the day's order."""
    clock = Clock(day.timezone)
    alike: dict[tuple[tuple[tuple[int, int], ...], frozenset[str]], list[str]] = {}
    for cook in day.kitchen.crew:
        shifts = joined([(clock.minute(start), clock.minute(end)) for start, end in cook.shifts])
        alike.setdefault((shifts, frozenset(cook.skills)), []).append(cook.id)
    return [
        Team(cooks[0], tuple(cooks), shifts, skills) for (shifts, skills), cooks in alike.items()
    ]


def joined(spans: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Return spans in order, those that touch as one."""
    whole: list[tuple[int, int]] = []
    for start, end in sorted(spans):
        if whole and start <= whole[-1][1]:
            whole[-1] = (whole[-1][0], max(end, whole[-1][1]))
        else:
            whole.append((start, end))
    return tuple(whole)


def crew_rule(sheet: Sheet, day: Day, batches: dict[StageKey, list[Maybe]]) -> None:
    """Give every phase with hands to teams; no team is held more often than it has cooks."""
    teams = teams_of(day)
    held: dict[str, list[tuple[Span, Lit, Expr]]] = {team.name: [] for team in teams}
    for maybe in (each for maybes in batches.values() for each in maybes):
        for span in (span for choice in maybe.choices for span in choice.spans):
            if span.phase.hands:
                _give(sheet, span, teams, held)
    for team in teams:
        _one_thing_at_a_time(sheet, team, held[team.name])


def _give(
    sheet: Sheet, span: Span, teams: list[Team], held: dict[str, list[tuple[Span, Lit, Expr]]]
) -> None:
    hands, skilled = [], []
    for team in teams:
        for i, shift in enumerate(team.shifts):
            if span.earliest >= shift[1] or span.latest + _longest(span) <= shift[0]:
                continue
            most = min(span.phase.hands, len(team.cooks))
            amount, some = _hands(sheet, f"{span.name} by {team.name} {i}", most)
            sheet.model.add(span.starts >= shift[0]).only_enforce_if(some)
            sheet.model.add(span.ends <= shift[1]).only_enforce_if(some)
            held[team.name].append((span, some, amount))
            hands.append(amount)
            if span.phase.skill in team.skills:
                skilled.append(amount)
    sheet.model.add(total(hands) == span.phase.hands * span.chosen)
    if span.phase.skill is not None:
        sheet.model.add(total(skilled) >= span.chosen)


def _longest(span: Span) -> int:
    return span.phase.length_min(span.started_max)


def _hands(sheet: Sheet, name: str, most: int) -> tuple[Expr, Lit]:
    if most == 1:
        some = sheet.either(name)
        return some, some
    amount, lit = sheet.whole(name, 0, most), sheet.either(f"{name} some")
    sheet.model.add(amount >= lit)
    sheet.model.add(amount <= most * lit)
    return amount, lit


def _one_thing_at_a_time(sheet: Sheet, team: Team, held: list[tuple[Span, Lit, Expr]]) -> None:
    intervals = [
        sheet.model.new_optional_interval_var(
            span.starts, span.lasts, span.ends, some, f"{span.name} {team.name}"
        )
        for span, some, _ in held
    ]
    if len(team.cooks) == 1:
        sheet.model.add_no_overlap(intervals)
    elif intervals:
        demands = [amount for _, _, amount in held]
        sheet.model.add_cumulative(intervals, demands, len(team.cooks))
