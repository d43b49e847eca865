"""A draft follows the edits by itself, once for each day, with no page open."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.storage.changes.productions import add_production, remove_production
from app.storage.engine import writing
from app.web.after_edits import AfterEdits
from tests.web.desk import QuietJob, quiet_desk
from tests.web.editing import Editing


@dataclass
class Waits:
    """Stands for the clock: what is to be done later, until it is called off."""

    due: list[Callable[[], None]] = field(default_factory=list)
    asked_s: list[float] = field(default_factory=list)

    def later(self, wait_s: float, then: Callable[[], None]) -> Callable[[], None]:
        """Note what is to be done; return how to call it off."""
        self.due.append(then)
        self.asked_s.append(wait_s)
        return lambda: self.due.remove(then)

    def pass_by(self) -> None:
        """Let the seconds pass."""
        while self.due:
            self.due.pop()()


@pytest.fixture
def jobs(client: TestClient) -> Iterator[list[QuietJob]]:
    """Yield the jobs that the app's desk is given."""
    with quiet_desk(client) as made:
        yield made


@pytest.fixture
def waits(client: TestClient, jobs: list[QuietJob]) -> Waits:
    """Return the clock of an app that has just started."""
    return started(client)


def started(client: TestClient) -> Waits:
    """Give the app what a server begins with."""
    app: Any = client.app
    app.state.after_edits.close()
    waits = Waits()
    app.state.after_edits = AfterEdits(lambda: app.state.desk, waits.later, wait_s=4)
    return waits


@pytest.fixture
def ada(client: TestClient, production: int, waits: Waits) -> Editing:
    """Return an open editor of the knots."""
    return Editing(client, production)


def change(ada: Editing, by: int = 20) -> None:
    """Move the first run once more."""
    with_runs = {row["key"]: row["starts"] for row in ada.rows().all("runs")}
    seen = with_runs["knots-take-1"]
    assert ada.post("shift", run="knots-take-1", by=by, seen=seen, which="one")[0] == 200


def test_a_draft_is_begun_when_edits_have_stopped(
    ada: Editing, waits: Waits, jobs: list[QuietJob]
) -> None:
    """Several changes are one wait and one draft, of the day as it stands after the last."""
    for _ in range(3):
        change(ada)
        assert len(waits.due) == 1
    assert set(waits.asked_s) == {4}
    assert jobs == []
    assert "A draft follows by itself" in ada.client.get(f"/productions/{ada.production}/plan").text
    waits.pass_by()
    assert [(job.day.run("knots-take-1").starts, job.number) for job in jobs] == [
        ("2027-03-04T15:00", 2)
    ]
    stands = ada.client.get(f"/productions/{ada.production}/edit/news").json()["plan"]
    assert stands.startswith("working ")
    assert f'data-mark="{stands}"' in ada.client.get(f"/productions/{ada.production}/plan").text


def test_a_further_edit_begins_anew(ada: Editing, waits: Waits, jobs: list[QuietJob]) -> None:
    """The draft of a day that no longer stands is ended; the same day is planned once."""
    change(ada)
    waits.pass_by()
    change(ada)
    assert len(jobs) == 1
    waits.pass_by()
    assert jobs[0].asked == ["kill"]
    assert len(jobs) == 2
    change(ada)
    ada.post("undo")
    waits.pass_by()
    assert len(jobs) == 2


def test_what_is_taken_back_leaves_no_draft(
    ada: Editing, waits: Waits, jobs: list[QuietJob]
) -> None:
    """The published plan is of this day again."""
    change(ada)
    waits.pass_by()
    ada.post("undo")
    waits.pass_by()
    assert len(jobs) == 1
    assert ada.client.get(f"/productions/{ada.production}/edit/news").json()["plan"] == "none"


def test_a_restart_forgets_no_edit(client: TestClient, ada: Editing, jobs: list[QuietJob]) -> None:
    """The wait begins again with the first page that is open, once."""
    change(ada)
    waits = started(client)
    assert waits.due == []
    for _ in range(2):
        client.get(f"/productions/{ada.production}/edit/news")
    assert len(waits.due) == 1
    waits.pass_by()
    assert len(jobs) == 1
    client.get(f"/productions/{ada.production}/edit/news")
    assert waits.due == []


def test_a_discarded_draft_does_not_come_back(
    client: TestClient, ada: Editing, jobs: list[QuietJob]
) -> None:
    """Neither by a wait that is under way nor by an open page; only by another edit."""
    change(ada)
    waits = started(client)
    here = f"/productions/{ada.production}"
    client.get(f"{here}/edit/news")
    client.post(f"{here}/plan/discard")
    client.get(f"{here}/edit/news")
    assert waits.due == []
    change(ada)
    waits.pass_by()
    assert len(jobs) == 1


def test_what_is_no_edit_or_not_whole_is_not_planned(
    client: TestClient, waits: Waits, jobs: list[QuietJob], knots_day: Day
) -> None:
    """A production that came in, one with faults, one that was removed meanwhile."""
    with writing() as conn:
        fresh = add_production(conn, knots_day, by="Ada", once="fresh")
    waits.pass_by()
    assert jobs == []
    ada = Editing(client, fresh)
    step = ada.rows().below("ways", ada.id("ways", "scale"), "phases")[0]["id"]
    assert ada.post("delete", place=f"phases/{step}", seen=ada.rows().n)[0] == 200
    waits.pass_by()
    assert jobs == []
    ada.post("undo")
    change(ada)
    with writing() as conn:
        remove_production(conn, fresh, by="Ada", once="gone")
    waits.pass_by()
    assert jobs == []
