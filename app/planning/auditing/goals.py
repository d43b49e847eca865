"""The figures that the plan tells: goals, bounds, status, counts, and how it writes its times."""

from app.planning.auditing.breach import Breach, Breaches
from app.planning.auditing.counts import counts
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Making
from app.planning.auditing.written import times
from app.planning.plan import GOALS

Figures = dict[str, int | float]
NEARLY = 1e-6
PROVEN = 5


def goals(ledger: Ledger) -> Breaches:
    """Yield the figures that are not the plan's own.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    told = ledger.plan.objective.model_dump()
    for goal, figure in figures(ledger).items():
        if not _same(told[goal], figure):
            yield Breach("goals", (goal,), f"{goal} is {figure}, the plan tells {told[goal]}.")
    yield from _bounds(ledger)
    yield from _status(ledger)
    yield from counts(ledger)
    yield from times(ledger)


def figures(ledger: Ledger) -> Figures:
    """Return the six goals as they are.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    demands = ledger.programme.demands.items()
    served = {key: len(ledger.served.get(key, ())) for key, _ in demands}
    backing = {key: len(ledger.backing.get(key, ())) for key, _ in demands}
    starts = [making.starts for making in ledger.makings if making.starts is not None]
    return {
        "unmet": sum(max(0, demand.count - served[key]) for key, demand in demands),
        "unbacked": sum(max(0, demand.need.backups - backing[key]) for key, demand in demands),
        "cost": sum(_cost(making) for making in ledger.makings),
        "hands_min": sum(_hands_min(making) for making in ledger.makings),
        "waiting_min": _waiting_min(ledger),
        "early_min": sum(ledger.programme.ends - each for each in starts),
    }


def _cost(making: Making) -> float:
    if making.stage is None or making.way is None:
        return 0
    return making.stage.cost_by(making.way) * making.size


def _hands_min(making: Making) -> int:
    phases = making.way.phases if making.way else ()
    return sum(phase.hands * phase.length_min(making.size) for phase in phases)


def _waiting_min(ledger: Ledger) -> int:
    """Return the minutes that copies wait for the uses that take them."""
    return sum(
        step.taking.demand.due - step.item.staged
        for step in ledger.all_steps()
        if step.taking.demand and not step.on_set and step.item.staged is not None
    )


def _same(one: int | float | None, other: int | float | None) -> bool:
    if one is None or other is None:
        return False
    try:
        return one == other or abs(one - other) <= NEARLY * max(1, abs(other))
    except OverflowError:
        return False


def _order(ledger: Ledger) -> list[str]:
    """Return the goals from the most to the least important."""
    names = list(GOALS)
    if ledger.day.policy.prefer == "fresh":
        names[3], names[4] = names[4], names[3]
    return names


def _bounds(ledger: Ledger) -> Breaches:
    """Yield bounds above what they bound, or of goals whose better ones are not proven."""
    told, bounds = ledger.plan.objective.model_dump(), ledger.plan.bounds.model_dump()
    open_goal: str | None = None
    for goal in _order(ledger):
        bound = bounds[goal]
        if bound is not None and not (bound <= told[goal] or _same(bound, told[goal])):
            yield Breach("goals", (goal,), f"{goal} is {told[goal]}, below its bound {bound}.")
        if bound is not None and open_goal:
            yield Breach(
                "goals", (goal,), f"{goal} has the bound {bound}, though {open_goal} is open."
            )
        if open_goal is None and not _same(bound, told[goal]):
            open_goal = goal


def _status(ledger: Ledger) -> Breaches:
    told, bounds = ledger.plan.objective.model_dump(), ledger.plan.bounds.model_dump()
    proven = all(_same(bounds[goal], told[goal]) for goal in _order(ledger)[:PROVEN])
    status = "optimal" if proven and told["unmet"] == 0 else "feasible"
    if bounds["unmet"] is not None and bounds["unmet"] > 0:
        status = "impossible"
    if ledger.plan.status != status:
        yield Breach(
            "goals", ("status",), f"the plan calls itself {ledger.plan.status}, it is {status}."
        )
