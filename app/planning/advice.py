"""A plan with what stands in its way, and what would help, wherever it lacks something."""

from collections.abc import Callable, Iterable, Iterator

from app.planning.blockers.looking import Hindrances, hindrances_of, lacks_backups_only
from app.planning.blockers.words import Wording, more_may
from app.planning.day import Day
from app.planning.plan import Bounds, Plan, Status
from app.planning.remedies.enlarged import Part, things
from app.planning.remedies.found import remedies_of
from app.planning.solve import nobody, solve, still
from app.planning.watch import Progress, Watch, never

LEAST_SHARE = 0.25


def planned(
    day: Day,
    *,
    seconds: float | None = None,
    number: int = 1,
    now: Callable[[], float] = still,
    stop: Callable[[], bool] = never,
    tell: Callable[[Progress], None] = nobody,
) -> Plan:
    """Return the best plan of a day; if that lacks something, with the reasons and the remedies.

    Parameters
    ----------
    day, seconds, number, now, stop, tell
        As `solve` takes them. With `seconds`, what stands in the way is looked for as long as
        the plan has left over, or a quarter as long once more.
    """
    began = now()
    plan = solve(day, seconds=seconds, number=number, now=now, stop=stop, tell=tell)
    if not plan.unmet or plan.stopped_by == "person":
        return plan
    left_s = None
    if seconds is not None:
        left_s = max(seconds - (now() - began), LEAST_SHARE * seconds)
    return advised(day, plan, Watch(left_s, now, stop, tell))


def advised(day: Day, plan: Plan, watch: Watch) -> Plan:
    """Return a plan that lacks something, with what stands in the way and what would help.

    Parameters
    ----------
    day, plan
        A day and its best plan.
    watch
        The clock, the stop button and the listener: it is told the plan, then the plan with what
        stands in its way, then the remedies so far, each time that there are more or better ones.
    """
    watch.told("blockers", 0, None, plan)
    found = hindrances_of(day, plan, watch)
    wording = Wording(day, lacks_backups_only(plan))
    bounds = _bounds(plan, found.at_least)
    blocked = plan.model_copy(
        update={
            "bounds": bounds,
            "status": _status(plan, bounds),
            "blockers": tuple(wording.blocker(clash) for clash in found.clashes),
            "warnings": (*plan.warnings, *_of_untold(found, wording)),
        }
    )
    watch.told("remedies", 0, None, blocked)
    helped = remedies_of(day, plan, found.causes, watch)
    warnings = (*plan.warnings, *_of_untold(found, wording, helped.parts))
    return blocked.model_copy(update={"remedies": helped.remedies, "warnings": warnings})


def _of_untold(found: Hindrances, wording: Wording, parts: Iterable[Part] = ()) -> Iterator[str]:
    """Yield the warning of needs of which it is not told why they lack, if there are any."""
    if found.untold:
        too_much = [wording.excess(each) for each in found.excesses]
        yield more_may(len(found.untold), bool(found.clashes), too_much, [*things(parts)])


def _bounds(plan: Plan, at_least: int) -> Bounds:
    """Return the bounds of a plan of which so many copies lack, or backups, whatever is done."""
    goal = "unbacked" if lacks_backups_only(plan) else "unmet"
    known, figure = getattr(plan.bounds, goal), getattr(plan.objective, goal)
    if known is None or known >= at_least:
        return plan.bounds
    return plan.bounds.model_copy(update={goal: min(at_least, figure)})


def _status(plan: Plan, bounds: Bounds) -> Status:
    return "impossible" if bounds.unmet else plan.status
