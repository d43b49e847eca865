"""What has not been on camera, and what may be eaten."""

from collections.abc import Iterator

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.moments import Demand
from app.planning.auditing.parts import Item

Handed = Iterator[tuple[Demand, Item]]


def touched(ledger: Ledger) -> Breaches:
    """Yield each copy or backup that has been on camera where none that has may be.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for demand, item in _on_camera_before(ledger):
        yield Breach(
            "touched",
            (item.copy.id, *demand.key),
            f"{tidy(item.copy.id)}, or what it was made from, has been on camera before "
            f"{' '.join(demand.key)} at {ledger.at(demand.moment.start)}.",
        )


def unsafe(ledger: Ledger) -> Breaches:
    """Yield each copy or backup that nobody may eat where somebody does.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for demand, item in _on_camera_before(ledger):
        if demand.need.tasting:
            yield _not_for_eating(ledger, demand, item, "has been on camera")
    for demand, item in _handed(ledger):
        why = why_not_eaten(demand, item) if demand.need.tasting else None
        if why:
            yield _not_for_eating(ledger, demand, item, why)


def _not_for_eating(ledger: Ledger, demand: Demand, item: Item, why: str) -> Breach:
    return Breach(
        "unsafe",
        (item.copy.id, *demand.key),
        f"{tidy(item.copy.id)} {why} when it is tasted at {' '.join(demand.key)}, "
        f"{ledger.at(demand.moment.start)}.",
    )


def _handed(ledger: Ledger) -> Handed:
    """Yield each need to come with each copy that serves or backs it."""
    for key, demand in ledger.programme.demands.items():
        if ledger.history.is_aired(demand.moment):
            continue
        both = (*ledger.served.get(key, ()), *ledger.backing.get(key, ()))
        for copy in dict.fromkeys(both):
            yield demand, ledger.items[copy]


def _on_camera_before(ledger: Ledger) -> Handed:
    """Yield each copy that has been on camera before a need that forbids it."""
    for demand, item in _handed(ledger):
        strict = demand.need.untouched or demand.need.tasting
        if strict and was_on_camera(ledger, demand, item):
            yield demand, item


def was_on_camera(ledger: Ledger, demand: Demand, item: Item) -> bool:
    """Tell whether a copy, or anything it was made from, was on camera before a use."""
    if item.left_by or ledger.was_used(item, demand.moment.starts_s):
        return True
    return item.making in ledger.shown


def why_not_eaten(demand: Demand, item: Item) -> str | None:
    """Return what makes a copy unsafe to eat at a use, but for its having been on camera."""
    if not demand.stage.ready_to_eat:
        return "is not ready to eat"
    safe_min = demand.stage.safety_min
    if safe_min is None or item.staged is None:
        return None
    age = demand.moment.start - item.staged
    return f"is {age} min old, safe for {safe_min}" if age > safe_min else None
