"""Margin, slack and keeping time, at each taker."""

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.moments import Demand
from app.planning.auditing.parts import Step


def late(ledger: Ledger) -> Breaches:
    """Yield each copy that is not at hand as early as its taker wants it.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for step in ledger.all_steps():
        demand = step.taking.demand
        if ledger.is_over(step.taking):
            yield from _not_there(ledger, step)
            continue
        if demand and step.last and step.on_set:
            if step.last.ends_s > step.taking.starts_s:
                yield _handed_late(ledger, step, demand)
            continue
        due = demand.due if demand else step.taking.start - ledger.slack_min(step.item)
        if step.ready is not None and step.ready > due:
            yield _not_at_hand(ledger, step, due)


def _handed_late(ledger: Ledger, step: Step, demand: Demand) -> Breach:
    ends_s = step.last.ends_s if step.last else 0
    copy = step.item.copy.id
    return Breach(
        "late",
        (copy, *demand.key),
        f"{tidy(copy)} is handed over on set {ends_s - step.taking.starts_s} s after "
        f"{step.taking.called} has started at {ledger.at(step.taking.start)}.",
    )


def _not_at_hand(ledger: Ledger, step: Step, due: int) -> Breach:
    copy, taking = step.item.copy.id, step.taking
    return Breach(
        "late",
        (copy, taking.called),
        f"{tidy(copy)} is at hand at {ledger.at(step.ready)}, but due at {ledger.at(due)} "
        f"for {tidy(taking.called)}.",
    )


def _not_there(ledger: Ledger, step: Step) -> Breaches:
    """Yield a copy that a beat took, as nobody said, though it was not there at its start."""
    demand, taking = step.taking.demand, step.taking
    if demand is None or ledger.is_told(step.item, demand):
        return
    if step.last and step.on_set:
        if step.last.ends_s > taking.starts_s:
            yield _handed_late(ledger, step, demand)
    elif step.ready is not None and step.ready > taking.start:
        yield _not_at_hand(ledger, step, taking.start)


def stale(ledger: Ledger) -> Breaches:
    """Yield each copy that is older than it keeps when something takes it.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for step in ledger.all_steps():
        item, taking = step.item, step.taking
        if item.stage is None or item.oldest is None or ledger.is_over(taking):
            continue
        age = taking.start - item.oldest
        if age > item.stage.keeps_min:
            yield Breach(
                "stale",
                (item.copy.id, taking.called),
                f"{tidy(item.copy.id)} is {age} min old when {tidy(taking.called)} takes it at "
                f"{ledger.at(taking.start)}; it keeps {item.stage.keeps_min}.",
            )
