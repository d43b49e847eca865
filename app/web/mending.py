"""A plan mended in a process of its own, while its day is under way."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from app.planning.day import Day
from app.planning.events import AnyEvent
from app.planning.happened import Happened, happened
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.replan import Mended, replan
from app.web.jobs import PlanJob


@dataclass(frozen=True)
class Mender:
    """What the child is given: the published plan with its day, and what has happened."""

    day: Day
    plan: Plan
    events: tuple[AnyEvent, ...]
    at: str

    def __call__(self, day: Day, *, number: int, **limits: Any) -> Plan:
        """Return the mended plan; it is `replan` that numbers it."""
        # Only the child carries the engine.
        from app.planning.mending import mend

        now = Clock(day.timezone).minute(self.at)
        return mend(happened(self.day, self.plan, self.events, now), self.plan, **limits)


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
