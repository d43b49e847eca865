"""The goals of `2-plan.md`, as expressions to be made small one after another."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from app.planning.model.batches import Choice, Maybe
from app.planning.model.changes import changes
from app.planning.model.flows import Flows
from app.planning.model.lots import Lot
from app.planning.model.sheet import Expr, Sheet, total
from app.planning.model.unattended import Unattended
from app.planning.model.waiting import waiting
from app.planning.needs import StageKey
from app.planning.scope import Scope

LACKS = "lacks"


@dataclass(frozen=True)
class Goals:
    """Each goal, split by the demonstrations whose copies it counts.

    Costs count in parts of 1 ÷ `cost_scale`.
    """

    by_demonstration: dict[str, dict[str, Expr]]

    def whole(self, goal: str) -> Expr:
        """Return a goal of the whole model; a number, if nothing about it is open."""
        return total(self.by_demonstration[goal].values())


def cost_scale(scope: Scope) -> int:
    """Return the least whole number by which every cost becomes whole."""
    costs = [each.cost for making in scope.makings.values() for each in making.methods]
    return lcm(*(Fraction(str(cost)).denominator for cost in costs)) if costs else 1


def goals_of(
    sheet: Sheet,
    scope: Scope,
    flows: Flows,
    batches: dict[StageKey, list[Maybe]],
    scale: int,
    times: bool,
) -> Goals:
    """Return the goals of a model; those of time, only if they are asked for, else 0."""
    every = [maybe for maybes in batches.values() for maybe in maybes]
    uses = scope.needs.uses
    shown = {key[0] for key in batches}
    parts: dict[str, list[tuple[str, Expr]]] = {
        "unmet": [(uses[index].stage[0], lack) for index, lack in flows.lacks.items()],
        "unbacked": [(uses[index].stage[0], lack) for index, lack in flows.unbacked.items()],
        "changes": list(changes(sheet, scope, batches)),
        "cost": [(maybe.making.key[0], _cost(maybe, scale)) for maybe in every],
        "hands_min": [(maybe.making.key[0], _hands(maybe)) for maybe in every],
        "batches": [(maybe.making.key[0], _batches(maybe)) for maybe in every],
        "waiting_min": waiting(sheet, flows) if times else [],
        "early_min": [(maybe.making.key[0], _early(sheet, scope, maybe)) for maybe in every]
        if times
        else [],
    }
    split = {goal: _split(found, shown) for goal, found in parts.items()}
    return Goals(split | {LACKS: _lacks(scope, split)})


def _lacks(scope: Scope, goals: dict[str, dict[str, Expr]]) -> dict[str, Expr]:
    """Return the first two goals as one: a copy outweighs all backups."""
    weight = 1 + sum(use.backups for use in scope.needs.uses)
    return {
        each: weight * unmet + goals["unbacked"][each] for each, unmet in goals["unmet"].items()
    }


def _split(parts: Iterable[tuple[str, Expr]], shown: set[str]) -> dict[str, Expr]:
    found: dict[str, list[Expr]] = {each: [] for each in sorted(shown)}
    for demonstration, part in parts:
        found[demonstration].append(part)
    return {demonstration: total(each) for demonstration, each in found.items()}


def _cost(maybe: Maybe, scale: int) -> Expr:
    return total(
        int(Fraction(str(choice.method.cost)) * scale) * choice.started for choice in maybe.choices
    )


def _hands(maybe: Maybe) -> Expr:
    if isinstance(maybe, Lot):
        return maybe.hands_min
    return total(_worked(choice) for choice in maybe.choices)


def _batches(maybe: Maybe) -> Expr:
    return maybe.batches if isinstance(maybe, Lot) else maybe.present


def _worked(choice: Choice) -> Expr:
    """Return the crew minutes of one way of a batch, 0 where it is not chosen."""
    return total(
        span.phase.hands * (span.lasts * span.chosen if isinstance(span.lasts, int) else span.lasts)
        for span in choice.spans
        if span.phase.hands
    )


def _early(sheet: Sheet, scope: Scope, maybe: Maybe) -> Expr:
    if isinstance(maybe, Lot | Unattended):
        return 0
    early = sheet.whole(f"{maybe.name} early", 0, scope.needs.end - maybe.window[0])
    sheet.model.add(early >= scope.needs.end - maybe.starts).only_enforce_if(maybe.present)
    return early
