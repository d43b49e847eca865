"""A kitchen that several productions have: what one changes, a draft of each other one follows."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from fastapi.testclient import TestClient

from app.planning.plan import Plan
from app.storage.changes.plans import publish_plan
from app.storage.changes.productions import copy_production
from app.storage.engine import writing
from app.web.after_edits import AfterEdits
from tests.web.desk import QuietJob, quiet_desk
from tests.web.editing import Editing

TODAY = "2027-03-01"
WHY = "This draft is here because the kitchen, which other productions use too, was changed:"


@dataclass
class Clock:
    """Stands for the clock: each `tick` does what is due by then, and not what comes of it."""

    due: list[Callable[[], None]] = field(default_factory=list)

    def later(self, wait_s: float, then: Callable[[], None]) -> Callable[[], None]:
        """Note what is to be done; return how to call it off."""
        self.due.append(then)
        return lambda: self.due.remove(then) if then in self.due else None

    def tick(self, times: int = 3) -> None:
        """Let a wait pass, some times: the edits of the one first, then those that follow."""
        for _ in range(times):
            due, self.due[:] = list(self.due), []
            for then in due:
                then()


@pytest.fixture
def jobs(client: TestClient) -> Iterator[list[QuietJob]]:
    """Yield the jobs that the app's desk is given."""
    with quiet_desk(client) as made:
        yield made


def follow(client: TestClient, today: str = TODAY) -> Clock:
    """Give the app what waits after edits, with a clock of the test's own."""
    app: Any = client.app
    app.state.after_edits.close()
    clock = Clock()
    app.state.after_edits = AfterEdits(
        lambda: app.state.desk, clock.later, wait_s=4, today=lambda timezone: today
    )
    return clock


def planned_after_a_change(ada: Editing, clock: Clock, jobs: list[QuietJob], plan: Plan) -> None:
    """Change the kitchen, plan the production that it was changed in, and let the next follow."""
    change_kitchen(ada)
    clock.tick()
    jobs[0].plan = plan
    clock.tick()


@pytest.fixture
def clock(client: TestClient, jobs: list[QuietJob]) -> Clock:
    """Return the clock of the app."""
    return follow(client)


@pytest.fixture
def others(production: int, knots_plan: Plan) -> tuple[int, int]:
    """Return two further productions in the kitchen of the knots, both with a plan."""
    made = []
    plan = knots_plan.model_copy(update={"day": None})
    for title in ("Second week", "Third week"):
        with writing() as conn:
            other = copy_production(conn, production, title, by="Bo", once=title)
            publish_plan(conn, other, plan, by="Bo", once=f"plan of {title}")
        made.append(other)
    return made[0], made[1]


def change_kitchen(ada: Editing, units: int = 7) -> None:
    """Let the first item of the kitchen have so many units."""
    item = ada.rows().all("equipment")[0]
    place = f"equipment/{item['id']}"
    status, _ = ada.fill(place, "units", str(units), item["units"], str(item["units"]))
    if status == 409:
        status, _ = ada.fill(place, "units", str(units), item["units"], None)
    assert status == 200


def titles(jobs: list[QuietJob]) -> list[str]:
    """Return the titles of the days that were planned."""
    return [job.day.title for job in jobs]


def test_the_others_follow_one_by_one_after_the_open_one(
    ada: Editing, others: tuple[int, int], clock: Clock, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """Each is planned with the kitchen as it is, only when the one before has ended."""
    change_kitchen(ada)
    clock.tick()
    assert titles(jobs) == ["Harvest hour"]
    for at, title in enumerate(("Second week", "Third week")):
        jobs[at].plan = knots_plan
        clock.tick()
        assert titles(jobs)[at + 1 :] == [title]
    assert {job.day.kitchen.equipment[0].units for job in jobs} == {7}
    jobs[2].plan = knots_plan
    clock.tick()
    assert (len(jobs), clock.due) == (3, [])


def test_the_screens_of_the_other_say_why(
    ada: Editing,
    others: tuple[int, int],
    clock: Clock,
    jobs: list[QuietJob],
    client: TestClient,
    knots_plan: Plan,
) -> None:
    """While it waits for its turn, while it is worked out, and when it is ready; the plan stays."""
    here = f"/productions/{others[0]}/kitchen"
    assert "other productions use too, was changed" not in client.get(here).text
    change_kitchen(ada)
    clock.tick()
    page = client.get(here).text
    assert "was changed since plan 1 was worked out:" in page
    assert "A draft follows by itself" in page
    assert "units from " in page
    assert "to 7, in “Harvest hour”." in page
    jobs[0].plan = knots_plan
    clock.tick()
    page = client.get(here).text
    assert "A plan is being worked out" in page
    assert WHY in page
    jobs[1].plan = knots_plan
    page = client.get(f"/productions/{others[0]}/count").text
    assert "A draft of plan 2 is ready" in page
    assert WHY in page
    assert "Plan 1" in page
    own = client.get(f"/productions/{ada.production}/count").text
    assert WHY not in own


def test_a_person_who_asks_comes_first(
    ada: Editing,
    others: tuple[int, int],
    clock: Clock,
    jobs: list[QuietJob],
    client: TestClient,
    knots_plan: Plan,
) -> None:
    """A search that nobody asked for gives way, and is begun anew at its next turn."""
    planned_after_a_change(ada, clock, jobs, knots_plan)
    assert titles(jobs)[1:] == ["Second week"]
    client.post(f"/productions/{others[1]}/plan")
    assert jobs[1].asked == ["kill"]
    clock.tick()
    assert titles(jobs)[2:] == ["Third week"]
    jobs[2].plan = knots_plan
    clock.tick()
    assert titles(jobs)[3:] == ["Second week"]


def test_while_somebody_edits_nobody_follows(
    ada: Editing, others: tuple[int, int], clock: Clock, jobs: list[QuietJob]
) -> None:
    """Every further change of the kitchen is one wait more, and the last one is planned."""
    for units in (7, 8, 9):
        change_kitchen(ada, units)
    clock.tick()
    assert [job.day.kitchen.equipment[0].units for job in jobs] == [9]


def test_what_is_taken_back_in_the_one_leaves_no_draft_in_the_other(
    ada: Editing,
    others: tuple[int, int],
    clock: Clock,
    jobs: list[QuietJob],
    client: TestClient,
    knots_plan: Plan,
) -> None:
    """Also a discarded one does not come back by itself."""
    planned_after_a_change(ada, clock, jobs, knots_plan)
    jobs[1].plan = knots_plan
    client.post(f"/productions/{others[1]}/plan/discard")
    ada.post("undo")
    clock.tick(6)
    assert titles(jobs) == ["Harvest hour", "Second week"]


def test_who_has_no_plan_or_is_over_is_left_alone(
    ada: Editing,
    others: tuple[int, int],
    production: int,
    client: TestClient,
    jobs: list[QuietJob],
    knots_plan: Plan,
) -> None:
    """A copy that nobody has planned yet, and weeks that have been."""
    with writing() as conn:
        copy_production(conn, production, "Some day", by="Bo", once="some day")
    clock = follow(client, "2027-03-05")
    change_kitchen(ada)
    clock.tick()
    jobs[0].plan = knots_plan
    clock.tick(6)
    assert titles(jobs) == ["Harvest hour"]
