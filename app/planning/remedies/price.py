"""What a remedy costs, in words, beside the plan that lacks something."""

from collections.abc import Callable
from typing import TypeVar

from app.planning.dates import working
from app.planning.plan import Plan, Remedy

T = TypeVar("T", int, float)


def dearer(plan: Plan, remedy: Remedy) -> str:
    """Return what a remedy costs in copies and minutes by hand, and how much more that is.

    Parameters
    ----------
    plan
        The plan that the remedy is offered beside: it lacks copies that the remedy's plan has.
    """
    now = plan.objective
    cost = _beside(round(remedy.cost - now.cost, 2), "{:.10g}".format)
    hands = _beside(remedy.hands_min - now.hands_min, working)
    said = working(remedy.hands_min)
    return f"Copies cost {remedy.cost:.10g}{cost}, {said} by hand{hands}."


def _beside(more: T, in_words: Callable[[T], str]) -> str:
    if not more:
        return " as now"
    return f" ({in_words(abs(more))} {'more' if more > 0 else 'less'})"
