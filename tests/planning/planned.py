"""The figures that a small day's plan comes to."""

from app.planning.audit import audit
from app.planning.reading import read_day
from app.planning.solve import solve
from tests.planning.drafts import Facts, at, cook

TOLD = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")


def figures(facts: Facts, proven: bool = True) -> tuple[float, ...]:
    """Return the first five figures of the plan of a day, which breaks no rule and is proven."""
    read = read_day(facts)
    plan = solve(read)
    assert audit(read, plan) == []
    if proven:
        assert plan.status in ("optimal", "impossible")
        assert plan.bounds.cost == plan.objective.cost
    return tuple(getattr(plan.objective, goal) for goal in TOLD)


def twice(lasts_min: int) -> Facts:
    """Return a cook who comes at six and at one, for some minutes each time."""
    shifts = [[at(f"{hour}:00"), at(f"{hour}:{lasts_min:02}")] for hour in ("06", "13")]
    return {**cook(), "shifts": shifts}
