"""A published plan mended on the day: what has happened, what is best now, what changes by it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.difference import Change, changes, run_changes, weight_of
from app.planning.events import AnyEvent
from app.planning.happened import Happened, happened
from app.planning.minutes import Clock
from app.planning.plan import Plan

Search = Callable[[Happened, Plan], Plan]


@dataclass(frozen=True)
class Mended:
    """A plan to accept or refuse.

    `day` is the day as it now stands, `changes` what is different from the published plan,
    `notices` sentences about events that changed nothing.
    """

    day: Day
    plan: Plan
    changes: tuple[Change, ...]
    notices: tuple[str, ...]

    @property
    def weight(self) -> int:
        """Return how many batches move, come or go; those about to start count twice."""
        return weight_of(self.changes)


def replan(day: Day, plan: Plan, events: Iterable[AnyEvent], now: str, search: Search) -> Mended:
    """Return the plan mended after what has happened.

    Parameters
    ----------
    day, plan
        The plan that people work from, and its day.
    events
        What was told, in the order of the numbers; those that were taken back too.
    now
        The time now, a local time.
    search
        From the state and the published plan to the plan of the state's day. It keeps every batch
        that has begun and every copy that is known, under their ids; names nothing new like
        anything published; starts nothing before now; and changes what was published least.
    """
    state = happened(day, plan, events, Clock(day.timezone).minute(now))
    found = search(state, plan)
    mended = found.model_copy(update={"number": plan.number + 1, "day": fingerprint(state.day)})
    said = changes(state.day, plan, mended, now=state.now, begun=state.begun.keys())
    return Mended(
        day=state.day,
        plan=mended,
        changes=(*run_changes(day, state.day), *said),
        notices=state.notices,
    )
