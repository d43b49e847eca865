"""Rule `crew`: skill, shift, one thing at a time, the same minutes as the phase.

Cooks with the same shifts and skills are one team: whatever a team of k does, never more than k
at once and each phase inside one shift, can be given to its cooks by name afterwards.
"""

from dataclasses import dataclass

from app.planning.hours import EVER, Spans, Team
from app.planning.model.batches import Maybe, Span
from app.planning.model.sheet import Expr, Lit, Sheet, total
from app.planning.needs import StageKey
from app.planning.scope import Scope


@dataclass(frozen=True)
class MayTake:
    """Hands of a team that a phase may take."""

    span: Span
    some: Lit
    amount: Expr


def crew_rule(sheet: Sheet, scope: Scope, batches: dict[StageKey, list[Maybe]]) -> None:
    """Give every phase with hands to teams; no team is held more often than it has cooks."""
    held: dict[str, list[MayTake]] = {team.name: [] for team in scope.teams}
    every = [maybe for maybes in batches.values() for maybe in maybes]
    for span in (span for maybe in every for choice in maybe.choices for span in choice.spans):
        if span.phase.hands:
            _give(sheet, span, scope.teams, held)
    for team in scope.teams:
        _one_thing_at_a_time(sheet, scope, team, held[team.name])


def _give(
    sheet: Sheet, span: Span, teams: tuple[Team, ...], held: dict[str, list[MayTake]]
) -> None:
    hands, skilled = [], []
    for team in teams:
        starts = team.starts(_least(span))
        if not any(start <= span.latest and span.earliest <= end for start, end in starts):
            continue
        most = min(span.phase.hands, len(team.cooks))
        name = f"{span.name} by {team.name}"
        if sheet.is_idle(name):
            continue
        amount, some = _hands(sheet, name, most)
        _on_shift(sheet, span, starts, some)
        held[team.name].append(MayTake(span, some, amount))
        hands.append(amount)
        if span.phase.skill in team.skills:
            skilled.append(amount)
    sheet.model.add(total(hands) == span.phase.hands * span.chosen)
    if span.phase.skill is not None:
        sheet.model.add(total(skilled) >= span.chosen)


def _least(span: Span) -> int:
    return span.phase.length_min(1) if not isinstance(span.lasts, int) else span.lasts


def _on_shift(sheet: Sheet, span: Span, starts: Spans, where: Lit) -> None:
    if not any(start <= span.earliest and span.latest <= end for start, end in starts):
        sheet.within(span.starts, starts, where)


def _hands(sheet: Sheet, name: str, most: int) -> tuple[Expr, Lit]:
    amount = sheet.hands(name, most)
    if most == 1:
        return amount, amount
    lit = sheet.either(f"{name} some")
    sheet.model.add(amount >= lit)
    sheet.model.add(amount <= most * lit)
    return amount, lit


def _one_thing_at_a_time(sheet: Sheet, scope: Scope, team: Team, held: list[MayTake]) -> None:
    """Keep what is held within the cooks of a team; who is off shift or busy counts as held."""
    if not held:
        return
    intervals = [
        sheet.model.new_optional_interval_var(
            each.span.starts,
            each.span.lasts,
            each.span.ends,
            each.some,
            f"{each.span.name} {team.name}",
        )
        for each in held
    ]
    amounts = [each.amount for each in held]
    for start, end in off_shift(team.shifts):
        intervals.append(sheet.model.new_fixed_size_interval_var(start, end - start, "off"))
        amounts.append(len(team.cooks))
    for start, end, busy in scope.occupied.busy.get(team.name, ()):
        intervals.append(sheet.model.new_fixed_size_interval_var(start, end - start, "busy"))
        amounts.append(busy)
    if len(team.cooks) == 1:
        sheet.model.add_no_overlap(intervals)
    else:
        sheet.model.add_cumulative(intervals, amounts, len(team.cooks))


def off_shift(shifts: Spans) -> list[tuple[int, int]]:
    """Return the spans outside of shifts."""
    edges = [-EVER, *(edge for shift in shifts for edge in shift), EVER]
    return [(start, end) for start, end in zip(edges[::2], edges[1::2], strict=True) if start < end]
