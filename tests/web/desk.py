"""A planner that needs no time: what the planning desk is tested with."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, cast

from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.plan import Plan
from app.web.desk import Desk
from app.web.jobs import PlanJob, Told


@dataclass
class QuietJob:
    """Stands for a planning process; the test says when it has a plan."""

    day: Day
    number: int
    plan: Plan | None = None
    failed: str | None = None
    told: Told | None = None
    early: Plan | None = None
    asked: list[str] = field(default_factory=list)

    @property
    def is_done(self) -> bool:
        """Return whether the test has said how it ends."""
        return self.plan is not None or self.failed is not None

    def progress(self) -> Told | None:
        """Return what the test lets the planner tell."""
        return self.told

    def so_far(self) -> Plan | None:
        """Return the plan that the test lets be shown before it is whole."""
        return self.early

    def result(self, timeout: float | None = None) -> Plan | None:
        """Return the plan that the test gave."""
        return self.plan if self.failed is None else None

    def stop(self) -> None:
        """Note that somebody stopped it."""
        self.asked.append("stop")

    def kill(self) -> None:
        """Note that nobody wants it any more."""
        self.asked.append("kill")


@contextmanager
def quiet_desk(client: TestClient) -> Iterator[list[QuietJob]]:
    """Give the app of a client a desk whose jobs the test holds in its hands."""
    jobs: list[QuietJob] = []

    def make(day: Day, number: int) -> PlanJob:
        jobs.append(QuietJob(day, number))
        return cast(PlanJob, jobs[-1])

    app: Any = client.app
    app.state.desk = Desk(make)
    yield jobs
