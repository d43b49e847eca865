"""The planning desk: for each production at most one draft plan, being worked out or waiting.

Drafts live in memory: a draft that nobody accepted is gone when the program ends, the published
plan never is.
"""

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from fastapi import Request

from app.planning.day import Day
from app.planning.plan import Plan
from app.web.jobs import PlanJob, Told

Maker = Callable[[Day, int], PlanJob]


@dataclass
class Draft:
    """A plan in the making for the day as it stood when somebody asked for it."""

    day: Day
    job: PlanJob
    by: str
    since: float = field(default_factory=time.monotonic)
    is_stopped: bool = False

    @property
    def is_working(self) -> bool:
        """Return whether the planner still works."""
        return not self.job.is_done

    @property
    def plan(self) -> Plan | None:
        """Return the plan once it is there."""
        return self.job.result(0) if self.job.is_done else None

    @property
    def failed(self) -> str | None:
        """Return why there is no plan, if there will be none."""
        return self.job.failed if self.job.is_done else None

    @property
    def told(self) -> Told | None:
        """Return what the planner told last."""
        return self.job.progress()

    @property
    def seconds(self) -> float:
        """Return how long it has been asked for."""
        return time.monotonic() - self.since


class Desk:
    """Holds the draft of each production."""

    def __init__(self, maker: Maker | None = None) -> None:
        self.maker: Maker = maker or _job
        self._drafts: dict[int, Draft] = {}
        self._turn = threading.Lock()

    def draft(self, production: int) -> Draft | None:
        """Return the draft of a production, if there is one."""
        return self._drafts.get(production)

    def begin(self, production: int, day: Day, number: int, by: str) -> Draft:
        """Have a plan worked out; one that is being worked out for the same day goes on."""
        with self._turn:
            before = self._drafts.get(production)
            if before is not None and before.is_working:
                if before.day == day:
                    return before
                before.job.kill()
            draft = Draft(day, self.maker(day, number), by)
            self._drafts[production] = draft
            return draft

    def stop(self, production: int) -> None:
        """Have the planner end with the best plan it has."""
        draft = self._drafts.get(production)
        if draft is not None and draft.is_working:
            draft.is_stopped = True
            draft.job.stop()

    def discard(self, production: int) -> None:
        """Forget the draft."""
        with self._turn:
            draft = self._drafts.pop(production, None)
        if draft is not None and draft.is_working:
            draft.job.kill()


def desk_of(request: Request) -> Desk:
    """Return the desk of the app that answers."""
    state = request.app.state
    if not hasattr(state, "desk"):
        state.desk = Desk()
    found: Desk = state.desk
    return found


def _job(day: Day, number: int) -> PlanJob:
    return PlanJob(day, number=number)
