"""A plan mended in a process of its own, while its day is under way."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from app.planning.day import Day
from app.planning.difference import Change, changes, run_changes
from app.planning.events import AnyEvent
from app.planning.happened import Happened, happened
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.replan import Mended, replan
from app.web.jobs import PlanJob


@dataclass(frozen=True)
class Mender:
    """What the child is given: the published plan with its day, and what has happened.

    `given` are the highest numbers of names that plans before it gave.
    """

    day: Day
    plan: Plan
    events: tuple[AnyEvent, ...]
    at: str
    spends_backups: bool = False
    given: Mapping[str, int] = field(default_factory=dict)

    def __call__(self, day: Day, *, number: int, **limits: Any) -> Plan:
        """Return the mended plan; it is `replan` that numbers it."""
        # Only the child carries the engine.
        from app.planning.mending import mend

        now = Clock(day.timezone).minute(self.at)
        state = happened(self.day, self.plan, self.events, now)
        return mend(
            state, self.plan, spends_backups=self.spends_backups, given=self.given, **limits
        )


class NotMended(Exception):
    """There is no mended plan; a sentence says why."""


def mended_apart(
    mender: Mender, wait: Callable[[PlanJob], Plan | None], politeness: int = 5
) -> Mended:
    """Return a plan mended in a process of its own and audited.

    Parameters
    ----------
    mender
        The published plan with its day, and what has happened until when.
    wait
        From the job to its plan.
    politeness
        How far the child lets others go first.

    Raises
    ------
    NotMended
        If there is no plan.
    """

    def search(state: Happened, _: Plan) -> Plan:
        job = PlanJob(
            state.day,
            solver=mender,
            events=mender.events,
            at=mender.at,
            politeness=politeness,
        )
        plan = wait(job)
        if plan is None:
            raise NotMended(job.failed or "There is no plan.")
        return plan

    return replan(mender.day, mender.plan, mender.events, mender.at, search)


@dataclass(frozen=True)
class Mends:
    """What a draft mends: the published plan, with its day, and all that was told of it.

    `state` is how things stand; `told` is the number of the last event in it.
    """

    planned: Day
    mender: Mender
    state: Happened
    told: int

    @property
    def day(self) -> Day:
        """Return the day as it stands."""
        return self.state.day

    def changes(self, plan: Plan) -> tuple[Change, ...]:
        """Return what is different in a mended plan, the rundown first."""
        state = self.state
        said = changes(self.day, self.mender.plan, plan, now=state.now, begun=state.begun.keys())
        return (*run_changes(self.planned, self.day), *said)


def mends_of(
    fresh: Day,
    planned: Day,
    plan: Plan,
    events: Iterable[AnyEvent],
    at: str,
    told: int,
    given: Mapping[str, int] | None = None,
) -> Mends:
    """Return what there is to mend.

    Parameters
    ----------
    fresh
        The day of the plan that was worked out fresh and mended ever since: nothing of what was
        told is in it, so that what is taken back leaves no trace.
    planned, plan
        The published plan and its day.
    events
        All that was told since the fresh plan, in order.
    at
        The local time now.
    told
        The number of the last event.
    given
        The highest numbers of names that plans before this one gave.
    """
    mender = Mender(fresh, plan, tuple(events), at, given=given or {})
    state = happened(fresh, plan, mender.events, Clock(fresh.timezone).minute(at))
    return Mends(planned, mender, state, told)
