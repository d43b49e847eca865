"""What stands in the way of a plan, how sure it is, and why then, told on a terminal."""

import json
from collections.abc import Sequence
from typing import Any

from app.arguments import FAILED, Ended
from app.planning.audit import audit
from app.planning.blockers.words import of_more
from app.planning.day import Day
from app.planning.events import AnyEvent
from app.planning.happened import Happened, happened
from app.planning.minutes import Clock
from app.planning.plan import Plan, Remedy
from app.planning.remedies.price import dearer
from app.planning.risk.chances import risk_of
from app.planning.risk.words import Wording
from app.planning.why_then.told import why_then


def tell_advice(plan: Plan) -> None:
    """Print what stands in the way of a plan and what would help, in sentences."""
    if plan.blockers:
        print("What stands in the way:", *(each.words for each in plan.blockers), sep="\n- ")
    if more := of_more(plan.warnings):
        print(more)
    if plan.remedies:
        print("What would help:", *(_remedy(plan, each) for each in plan.remedies), sep="\n- ")


def _remedy(plan: Plan, remedy: Remedy) -> str:
    return f"{remedy.words} {dearer(plan, remedy)}"


def tell_why(day: Day, plan: Plan, batch: str) -> None:
    """Print why a batch is when it is and its free minutes, in sentences."""
    if batch not in {each.id for each in plan.batches}:
        known = f"{plan.batches[0].id} to {plan.batches[-1].id}" if plan.batches else "none"
        raise Ended(FAILED, f"There is no batch “{batch}” in this plan; it has {known}.")
    print(*why_then(day, plan, batch).lines(), sep="\n")


def was_sound(day: Day, plan: Plan, events: Sequence[AnyEvent]) -> bool:
    """Tell whether a plan kept every rule when all, or only the first, of the events were told."""
    return any(not audit(day, plan, events[:told]) for told in range(len(events), -1, -1))


def tell_risk(
    day: Day, plan: Plan, events: Sequence[AnyEvent], now: str | None, given: Any
) -> None:
    """Play a day and print how sure its plan is: sentences, or JSON for a program to read."""
    state = _state(day, plan, events, now)
    stands = day if state is None else state.day
    risk = risk_of(stands, plan, given.plays, given.seed, state)
    if given.json:
        print(json.dumps(risk.document(), indent=2))
    else:
        print(*Wording(stands, plan, risk).lines(), sep="\n")


def _state(day: Day, plan: Plan, events: Sequence[AnyEvent], now: str | None) -> Happened | None:
    """Return how things stand now, else at the last event; None where nothing is told at all."""
    minute = Clock(day.timezone).minute
    moments = [minute(each.at) for each in events] if now is None else [minute(now)]
    return happened(day, plan, events, max(moments)) if moments else None
