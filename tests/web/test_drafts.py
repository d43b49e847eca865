"""Working the plan out again: begin, watch, stop, accept, discard."""

import re
import time
from typing import Any

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.drafts import begin_draft, end_draft
from app.storage.engine import reading, writing
from app.storage.queries.drafts import KeptDraft, draft_of
from app.web.desk import Desk
from app.web.jobs import PlanJob, Told
from tests.web import solvers
from tests.web.desk import QuietJob, quiet_desk

PATIENCE_S = 60
PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


@pytest.fixture
def jobs(client: TestClient) -> list[QuietJob]:
    """Return the jobs that the app's planning desk is given, the last one last."""
    with quiet_desk(client) as made:
        return made


def _moved(plan: Plan) -> Plan:
    """Return the plan with its second mixing nineteen minutes later."""
    batch = plan.batches[2]
    phase = batch.phases[0].model_copy(
        update={"starts": "2027-03-04T12:20", "ends": "2027-03-04T12:32"}
    )
    later = batch.model_copy(update={"phases": (phase,)})
    batches = tuple(later if each.id == batch.id else each for each in plan.batches)
    return plan.model_copy(update={"batches": batches})


def _begin(client: TestClient, production: int) -> None:
    assert client.post(f"/productions/{production}/plan", headers=PART).status_code == 200


def test_a_plan_that_is_being_worked_out_tells_how_far_it_is(
    client: TestClient, production: int, jobs: list[QuietJob]
) -> None:
    """The part asks again by itself, and has a button to stop."""
    _begin(client, production)
    jobs[0].told = Told("hands_min", 90.0, 83.0, 12.4)
    part = client.get(f"/productions/{production}/plan", headers=PART).text
    assert "work by hand" in part
    assert "<strong>1 h 30</strong>" in part
    assert "<strong>1 h 23</strong>" in part
    assert 'hx-trigger="every 1s"' in part
    assert "Stop, keep the best" in part
    assert "<html" not in part


def test_the_page_around_the_part_is_for_a_visit(
    client: TestClient, production: int, jobs: list[QuietJob]
) -> None:
    """Without script the page says the same."""
    _begin(client, production)
    page = client.get(f"/productions/{production}/plan")
    assert "<html" in page.text
    assert "A plan is being worked out" in page.text
    assert page.headers["Vary"] == "HX-Request-Type"


def test_the_page_says_so_when_nothing_is_being_worked_out(
    client: TestClient, production: int
) -> None:
    """An empty page would leave people wondering."""
    page = client.get(f"/productions/{production}/plan").text
    assert "Plan 1 holds, and no other is being worked out." in page


def test_beginning_twice_is_beginning_once(
    client: TestClient, production: int, jobs: list[QuietJob]
) -> None:
    """A double click must not set two planners to work."""
    _begin(client, production)
    _begin(client, production)
    assert len(jobs) == 1


def test_stopping_keeps_the_best(
    client: TestClient, production: int, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """The planner is asked to end, not killed, and its plan becomes the draft."""
    _begin(client, production)
    part = client.post(f"/productions/{production}/plan/stop", headers=PART).text
    assert jobs[0].asked == ["stop"]
    assert "Stopping" in part
    jobs[0].plan = knots_plan
    assert "is ready" in client.get(f"/productions/{production}/plan", headers=PART).text


def test_what_changes_is_told_before_it_is_accepted(
    client: TestClient, production: int, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """Then it is the plan on every screen, with the next number."""
    _begin(client, production)
    jobs[0].plan = _moved(knots_plan)
    part = client.get(f"/productions/{production}/plan", headers=PART).text
    assert "mixed, batch 2 moves from 12:01 to 12:20" in part
    accepted = client.post(f"/productions/{production}/plan/accept", headers=PART)
    assert accepted.headers["HX-Redirect"] == f"/productions/{production}/count"
    page = client.get(f"/productions/{production}/count").text
    assert "Plan 2." in page
    assert "1 change since plan 1" in page


def test_accepting_twice_publishes_once(
    client: TestClient, production: int, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """The second tap of a double tap goes where the first went."""
    _begin(client, production)
    jobs[0].plan = knots_plan
    address = f"/productions/{production}/plan/accept"
    for _ in range(2):
        sent = client.post(address, data={"began_from": "1", "once": "tap"}, headers=PART)
        assert sent.headers["HX-Redirect"] == f"/productions/{production}/count"
    assert "Plan 2." in client.get(f"/productions/{production}/count").text


@pytest.mark.parametrize("way", ["accept", "discard"])
def test_nobody_answers_to_a_draft_that_they_have_not_looked_at(
    client: TestClient, production: int, jobs: list[QuietJob], knots_plan: Plan, way: str
) -> None:
    """Another has taken its place, or is being worked out: it is told, and nothing is done."""
    address = f"/productions/{production}/plan"
    _begin(client, production)
    jobs[0].plan = knots_plan
    looked_at = _draft_in(client.get(address, headers=PART).text)
    assert looked_at
    client.post(f"{address}/discard", headers=PART)
    _begin(client, production)
    sent = client.post(f"{address}/{way}", data={"draft": looked_at}, headers=PART)
    assert sent.status_code == 409
    jobs[1].plan = _moved(knots_plan)
    sent = client.post(f"{address}/{way}", data={"draft": looked_at}, headers=PART)
    assert (sent.status_code, "Another draft has taken the place" in sent.text) == (409, True)
    part = client.get(address, headers=PART).text
    assert "A draft of plan 2 is ready" in part
    sent = client.post(f"{address}/{way}", data={"draft": _draft_in(part)}, headers=PART)
    assert "HX-Redirect" in sent.headers


def _draft_in(part: str) -> str:
    found = re.search(r'name="draft" value="([^"]*)"', part)
    return found[1] if found else ""


def test_discarding_leaves_the_plan_as_it_is(
    client: TestClient, production: int, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """And a planner that still works is ended."""
    _begin(client, production)
    address = f"/productions/{production}/plan/discard"
    here = f"/productions/{production}"
    for came_from, leads in [
        (f"http://127.0.0.1:8000{here}/rundown", f"{here}/rundown"),
        (f"http://127.0.0.1:8000{here}/count?shown=knots", f"{here}/count"),
        ("http://elsewhere.test/productions/2/count", f"{here}/plan"),
    ]:
        sent = client.post(address, headers=PART | {"Referer": came_from})
        assert sent.headers["HX-Redirect"] == leads
    assert jobs[0].asked == ["kill"]
    assert "Plan 1." in client.get(f"/productions/{production}/count").text


def test_a_planner_that_fails_says_why(
    client: TestClient, production: int, jobs: list[QuietJob]
) -> None:
    """The wrong state: what, why, and what now."""
    _begin(client, production)
    jobs[0].failed = "The planner's process is gone. Nothing was changed."
    part = client.get(f"/productions/{production}/plan", headers=PART).text
    assert "There is no new plan" in part
    assert "process is gone" in part
    assert "Try again" in part


def test_no_new_plan_once_something_has_started(
    client: TestClient, production: int, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """Refused in a sentence, when asked for and when accepted."""
    from app.storage.log import append
    from app.storage.ticks import tick_of

    _begin(client, production)
    jobs[0].plan = knots_plan
    said = {"event": "started", "batch": "b1", "at": "2027-03-04T11:30", "once": "t", "by": "Ada"}
    append(production, [tick_of(said)])
    for way in ("", "/accept"):
        refused = client.post(f"/productions/{production}/plan{way}", headers=PART)
        assert refused.status_code == 409
        assert "Something of plan 1 has started" in refused.text
        assert refused.headers["HX-Retarget"] == "#banner"
    page = client.get(f"/productions/{production}/count").text
    assert "Plan 1." in page
    assert "Crew have started on plan 1" in page
    assert "Work it out again" not in page


def _started_again(client: TestClient) -> None:
    """Give the app the desk that a server begins with."""
    app: Any = client.app
    app.state.desk = Desk()


def _kept(production: int) -> KeptDraft | None:
    with reading() as conn:
        return draft_of(conn, production)


def test_a_draft_that_waits_is_there_after_the_server_ended(
    client: TestClient, production: int
) -> None:
    """It is accepted as if nothing had happened, and is gone from the store then."""
    app: Any = client.app
    app.state.desk = Desk(lambda day, number: PlanJob(day, number=number, solver=solvers.quick))
    _begin(client, production)
    until = time.monotonic() + PATIENCE_S
    while not (found := _kept(production)) or found.plan is None:
        assert time.monotonic() < until
        time.sleep(0.02)
    _started_again(client)
    assert "is ready" in client.get(f"/productions/{production}/plan", headers=PART).text
    address = f"/productions/{production}/plan/accept"
    assert client.post(address, headers=PART).headers["HX-Redirect"].endswith("/count")
    assert "Plan 2." in client.get(f"/productions/{production}/count").text
    assert _kept(production) is None


def test_a_planner_that_the_server_took_along_is_told(
    client: TestClient, production: int, jobs: list[QuietJob]
) -> None:
    """What was lost, what was not, and what now; it is asked for again or left."""
    _begin(client, production)
    _started_again(client)
    part = client.get(f"/productions/{production}/plan", headers=PART).text
    assert "There is no new plan" in part
    assert "The server ended while this plan was being worked out" in part
    assert "Try again" in part
    client.post(f"/productions/{production}/plan/discard", headers=PART)
    _started_again(client)
    assert "server ended" not in client.get(f"/productions/{production}/plan", headers=PART).text


def test_a_kept_draft_that_breaks_a_rule_is_never_shown(
    client: TestClient, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """A newer version of the program may know a rule that the older one did not."""
    broken = knots_plan.model_copy(update={"batches": knots_plan.batches[1:]})
    with writing() as conn:
        key = begin_draft(conn, production, knots_day, by="Ada")
        end_draft(conn, key, broken, None)
    part = client.get(f"/productions/{production}/plan", headers=PART).text
    assert "breaks a rule of this version" in part
    refused = client.post(f"/productions/{production}/plan/accept", headers=PART)
    assert refused.status_code == 409


def test_nothing_to_accept_is_told(client: TestClient, production: int) -> None:
    """Somebody else has discarded it, or there never was one."""
    refused = client.post(f"/productions/{production}/plan/accept", headers=PART)
    assert refused.status_code == 409
    assert "no draft plan to accept" in refused.text


@pytest.mark.parametrize("way", ["stop", "accept", "discard"])
def test_looking_changes_nothing(client: TestClient, production: int, way: str) -> None:
    """A GET of an address that changes something is refused."""
    assert client.get(f"/productions/{production}/plan/{way}").status_code == 405


def test_a_production_that_is_not_there_has_no_plan(client: TestClient) -> None:
    """A bad id is a sentence, for looking and for changing."""
    assert client.get("/productions/99/plan").status_code == 404
    assert client.post("/productions/99/plan").status_code == 404
    assert client.get("/productions/none/plan").status_code == 404
