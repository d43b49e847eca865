"""A loose kitchen: as many hands, and units of each kind, as it has left all in all.

Of hands with a skill there are as many as have it. Whose hands, in which item and at which setting
is left open: rules are dropped and none is added.
"""

from collections.abc import Iterable, Iterator, Sequence

from app.planning.hours import Team
from app.planning.model.batches import Maybe, Span
from app.planning.model.crew import off_shift
from app.planning.model.equipment import not_free, units_of
from app.planning.model.sheet import Expr, Sheet
from app.planning.needs import StageKey
from app.planning.scope import Scope

Asked = tuple[Span, Expr]
Taken = tuple[int, int, int]


def loose_rule(sheet: Sheet, scope: Scope, batches: dict[StageKey, list[Maybe]]) -> None:
    """Let phases take no more hands at once than there are, and no more units of a kind."""
    every = [maybe for maybes in batches.values() for maybe in maybes]
    spans = [span for maybe in every for choice in maybe.choices for span in choice.spans]
    hands: list[Asked] = [(span, span.phase.hands) for span in spans if span.phase.hands]
    _within_hands(sheet, scope, "hands", hands, scope.teams)
    for skill in sorted({span.phase.skill for span in spans if span.phase.skill is not None}):
        able = [team for team in scope.teams if skill in team.skills]
        skilled: list[Asked] = [(span, 1) for span in spans if span.phase.skill == skill]
        _within_hands(sheet, scope, f"hands for {skill}", skilled, able)
    kinds: dict[str, list[Asked]] = {}
    for span in spans:
        for entry in span.phase.equipment:
            kinds.setdefault(entry.kind, []).append((span, units_of(sheet, span, entry)))
    for kind, asked in kinds.items():
        items = [item for item in scope.day.kitchen.equipment if item.kind == kind]
        taken = [each for item in items for each in not_free(scope, item)]
        _within(sheet, kind, asked, sum(item.units for item in items), taken)


def _within_hands(
    sheet: Sheet, scope: Scope, name: str, asked: list[Asked], teams: Sequence[Team]
) -> None:
    """Keep the hands that phases ask of some teams within those that are there and free."""
    _within(sheet, name, asked, sum(len(team.cooks) for team in teams), _busy(scope, teams))


def _busy(scope: Scope, teams: Iterable[Team]) -> Iterator[Taken]:
    """Yield when cooks of some teams are off, or busy."""
    for team in teams:
        yield from ((start, end, len(team.cooks)) for start, end in off_shift(team.shifts))
        yield from scope.occupied.busy.get(team.name, ())


def _within(sheet: Sheet, name: str, asked: list[Asked], most: int, taken: Iterable[Taken]) -> None:
    """Keep what phases ask for, with what is taken while they may be, within the most there is."""
    if not asked:
        return
    since = min(span.earliest for span, _ in asked)
    until = max(span.latest + span.phase.length_min(span.started_max) for span, _ in asked)
    intervals = [
        sheet.model.new_optional_interval_var(
            span.starts, span.lasts, span.ends, span.chosen, f"{span.name} {name}"
        )
        for span, _ in asked
    ]
    amounts = [amount for _, amount in asked]
    for start, end, amount in taken:
        if start < until and since < end:
            intervals.append(
                sheet.model.new_fixed_size_interval_var(start, end - start, f"{name} taken")
            )
            amounts.append(amount)
    sheet.model.add_cumulative(intervals, amounts, most)
