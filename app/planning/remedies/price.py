"""What a remedy costs, in words, beside the plan that lacks something."""

from app.planning.plan import Plan, Remedy


def dearer(plan: Plan, remedy: Remedy) -> str:
    """Return what a remedy costs in copies and minutes by hand, and how much more that is.

    Parameters
    ----------
    plan
        The plan that the remedy is offered beside: it lacks copies that the remedy's plan has.
    """
    now = plan.objective
    cost = _beside(round(remedy.cost - now.cost, 2), "")
    hands = _beside(remedy.hands_min - now.hands_min, " min")
    return f"Copies cost {remedy.cost:.10g}{cost}, {remedy.hands_min} min by hand{hands}."


def _beside(more: float, unit: str) -> str:
    if not more:
        return " as now"
    return f" ({abs(more):.10g}{unit} {'more' if more > 0 else 'less'})"
