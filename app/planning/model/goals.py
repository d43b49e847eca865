"""The goals of `2-plan.md`, as expressions to be made small one after another."""

from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from app.planning.model.batches import Maybe
from app.planning.model.flows import Flows
from app.planning.model.sheet import Expr, Sheet, total
from app.planning.model.waiting import waiting
from app.planning.needs import StageKey
from app.planning.scope import Scope


@dataclass(frozen=True)
class Goals:
    """Each goal as an expression; `cost` counts in parts of 1 ÷ `cost_scale`."""

    unmet: Expr
    unbacked: Expr
    cost: Expr
    hands_min: Expr
    waiting_min: Expr
    early_min: Expr


def cost_scale(scope: Scope) -> int:
    """Return the least whole number by which every cost becomes whole."""
    costs = [each.cost for making in scope.makings.values() for each in making.methods]
    return lcm(*(Fraction(str(cost)).denominator for cost in costs)) if costs else 1


def goals_of(
    sheet: Sheet, scope: Scope, flows: Flows, batches: dict[StageKey, list[Maybe]], scale: int
) -> Goals:
    """Return the goals of a model."""
    every = [maybe for maybes in batches.values() for maybe in maybes]
    choices = [choice for maybe in every for choice in maybe.choices]
    return Goals(
        unmet=total(flows.lacks.values()),
        unbacked=total(flows.unbacked.values()),
        cost=total(
            int(Fraction(str(choice.method.cost)) * scale) * choice.started for choice in choices
        ),
        hands_min=total(
            span.phase.hands * _worked(span.lasts, span.chosen)
            for choice in choices
            for span in choice.spans
            if span.phase.hands
        ),
        waiting_min=waiting(sheet, flows),
        early_min=total(_early(sheet, scope, maybe) for maybe in every),
    )


def _worked(lasts: Expr, chosen: Expr) -> Expr:
    """Return the minutes of a phase, 0 where it is not chosen."""
    return lasts * chosen if isinstance(lasts, int) else lasts


def _early(sheet: Sheet, scope: Scope, maybe: Maybe) -> Expr:
    early = sheet.whole(f"{maybe.name} early", 0, scope.needs.end - maybe.window[0])
    sheet.model.add(early >= scope.needs.end - maybe.starts).only_enforce_if(maybe.present)
    return early
