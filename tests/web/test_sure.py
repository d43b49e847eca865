"""How sure a plan is, on the Count screen: the plays, the weakest link, what slack costs."""

import re
import threading
import time
from typing import Any, cast

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.risk.found import Risk
from app.storage.log import append
from app.storage.ticks import tick_of
from app.web.jobs import PlanJob
from app.web.playing import NotPlayed, Playing, Since
from app.web.trials import Trials, wanted
from tests.live import stored
from tests.web.test_playing import few

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}
PATIENCE_S = 20


class Job:
    """Stands for a planning process: it has its plan at once, or once it is killed none."""

    def __init__(self, plan: Plan | None, failed: str | None = None, waits: bool = False) -> None:
        self.plan, self.failed = plan, failed
        self.over = threading.Event()
        if not waits:
            self.over.set()

    def result(self) -> Plan | None:
        """Wait and return the plan."""
        self.over.wait(PATIENCE_S)
        return self.plan

    def kill(self) -> None:
        """End it without a plan."""
        self.plan, self.failed = None, "The planning was stopped before there was a plan."
        self.over.set()


@pytest.fixture
def state(client: TestClient) -> Any:
    """Return the state of the app, with days that are played a few times and in this process."""
    app: Any = client.app
    app.state.playing = Playing(few)
    return app.state


@pytest.fixture
def sure(client: TestClient, state: Any, production: int) -> str:
    """Return the address of the part, its plan played."""
    address = f"/productions/{production}/sure"
    _until(client, address, "Where it is weakest")
    return address


def _until(client: TestClient, address: str, wanted: str) -> str:
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        page = client.get(address, headers=PART).text
        if wanted in page:
            return page
        time.sleep(0.02)
    raise AssertionError(f"{wanted} did not come")


def _costing(knots_plan: Plan, day: Day) -> Plan:
    more = day.policy.step_slack_min // 10 + day.policy.ready_margin_min // 10
    objective = knots_plan.objective.model_copy(update={"cost": 47 + more})
    return knots_plan.model_copy(update={"objective": objective})


def test_the_count_begins_no_plays_but_its_part_does(
    client: TestClient, state: Any, production: int
) -> None:
    """The page asks for the part; what was played before stands in the page at once."""
    page = client.get(f"/productions/{production}/count").text
    assert f'hx-get="/productions/{production}/sure" hx-trigger="load"' in page
    assert "Play the day ten thousand times" in page
    _until(client, f"/productions/{production}/sure", "Where it is weakest")
    page = client.get(f"/productions/{production}/count").text
    assert "Where it is weakest" in page
    assert 'hx-trigger="load"' not in page


def test_each_use_has_its_chance_and_the_weakest_link_is_told(
    client: TestClient, sure: str
) -> None:
    """The least sure first, with why; those that never lacked anything by name."""
    page = client.get(sure, headers=PART).text
    assert page.lstrip().startswith('<section id="sure"')
    text = page.replace("\u00a0", " ")
    assert re.search(r"Played 50 times \(seed 1; every length varies by 10 %\)", text)
    assert "The weakest link is knots-take-1 at 14:05, reveal: 6 baked" in text
    assert "One more backup there costs at most 2, if the kitchen has room for it, and" in text
    assert "Its copies staged ten minutes sooner" in text
    assert "too late" in text
    assert "uses that never lacked a copy" in text
    assert "knots-take-1 at 14:00, mix: 1 scaled" in text
    assert "Nothing dies if one of these takes 10 min longer" in text
    assert "<html" in client.get(sure).text


def test_a_page_waits_while_the_day_is_played(
    client: TestClient, state: Any, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """It says so, and asks again each second."""
    let_go = threading.Event()

    def slow(day: Day, plan: Plan, since: Since | None = None) -> Risk:
        let_go.wait(PATIENCE_S)
        return few(day, plan)

    state.playing = Playing(slow)
    address = f"/productions/{production}/sure"
    page = client.get(address, headers=PART).text
    assert "The day is being played ten thousand times" in page
    assert 'hx-trigger="every 1s"' in page
    answer = client.post(f"{address}/slack")
    assert answer.status_code == 409
    assert "has not been played yet" in answer.text
    let_go.set()
    _until(client, address, "Where it is weakest")


def test_plays_that_fail_are_told_and_tried_again(
    client: TestClient, state: Any, production: int
) -> None:
    """The rest of the count stands; a button tries again."""
    failing = [True, False]

    def unlucky(day: Day, plan: Plan, since: Since | None = None) -> Risk:
        if failing.pop(0):
            raise NotPlayed("The machine <ran out> of memory.")
        return few(day, plan)

    state.playing = Playing(unlucky)
    address = f"/productions/{production}/sure"
    page = _until(client, address, "can’t be told")
    assert "The machine &lt;ran out&gt; of memory." in page
    assert 'role="alert"' in page
    assert "can’t be told" in client.get(address, headers=PART).text
    client.get(f"{address}?again=1", headers=PART)
    _until(client, address, "Where it is weakest")


def test_other_slack_is_tried_and_what_it_costs_is_told(
    client: TestClient, state: Any, sure: str, knots_plan: Plan
) -> None:
    """A row for each, the plan itself among them, a slider over the rows, a price a minute."""
    tried: list[tuple[int, int]] = []

    def plan(day: Day) -> PlanJob:
        tried.append((day.policy.step_slack_min, day.policy.ready_margin_min))
        return cast(PlanJob, Job(_costing(knots_plan, day)))

    state.trials = Trials(plan)
    assert client.get(f"{sure}/slack", headers=PART).text.count("<table") == 0
    assert client.post(f"{sure}/slack", headers=PART).status_code == 200
    page = _until(client, f"{sure}/slack", "Try all slack again").replace("\u00a0", " ")
    assert tried == [(s, 10) for s in (0, 5, 10, 20, 30)] + [
        (0, margin) for margin in (0, 5, 20, 30)
    ]
    assert page.count('type="range"') == 2
    assert page.count("the plan as it is") == 2
    assert "20 min between steps: copies cost 50, 2 more (0.1 a minute); something lacks in" in page
    assert "0 min before a use: copies cost 47, 1 less (0.1 a minute)" in page
    assert "10 min before a use, as now: copies cost 48; something lacks in" in page
    assert 'hx-trigger="every 1s"' not in page
    assert "Stopped" not in page


def test_trials_are_stopped_and_keep_what_they_found(
    client: TestClient, state: Any, sure: str, knots_plan: Plan
) -> None:
    """The fourth plan never comes; what was found stays, and it can be begun again."""
    jobs: list[Job] = []

    def plan(day: Day) -> PlanJob:
        jobs.append(Job(_costing(knots_plan, day), waits=len(jobs) == 3))
        return cast(PlanJob, jobs[-1])

    state.trials = Trials(plan)
    page = client.post(f"{sure}/slack", headers=PART).text
    page = _until(client, f"{sure}/slack", "3 of 9 plans are there")
    assert "Trying 20 min between steps" in page
    assert 'hx-trigger="every 1s"' in page
    client.post(f"{sure}/slack", headers=PART)
    assert len(jobs) == 4
    client.post(f"{sure}/slack/stop", headers=PART)
    page = _until(client, f"{sure}/slack", "Stopped after 3 plans of 9.")
    assert len(jobs) == 4
    assert "10 min between steps: copies cost" in page
    assert "20 min between steps" not in page
    state.trials.maker = lambda day: cast(PlanJob, Job(_costing(knots_plan, day)))
    client.post(f"{sure}/slack", headers=PART)
    assert "Stopped" not in _until(client, f"{sure}/slack", "Try all slack again")


def test_a_trial_without_a_plan_or_short_of_copies_says_so(
    client: TestClient, state: Any, sure: str, knots_plan: Plan
) -> None:
    """In its row; the others stand."""

    def plan(day: Day) -> PlanJob:
        if day.policy.step_slack_min == 5:
            return cast(PlanJob, Job(None, "The planner’s process is gone."))
        short = {"unmet": 2, "unbacked": 1, "cost": 0}
        objective = knots_plan.objective.model_copy(update=short)
        bounds = knots_plan.bounds.model_copy(update={"cost": None})
        return cast(
            PlanJob,
            Job(knots_plan.model_copy(update={"objective": objective, "bounds": bounds})),
        )

    state.trials = Trials(plan)
    client.post(f"{sure}/slack", headers=PART)
    page = _until(client, f"{sure}/slack", "Try all slack again")
    assert "5 min between steps: The planner’s process is gone." in page
    assert "short 2</span>" in page
    assert "no backup 1</span>" in page
    assert "not proven" in page
    assert "This plan is short of 2." in page
    assert "not to be compared" in page
    assert " less" not in page
    assert "something lacks in 100\u00a0% of the plays" in page
    assert " % of the plays" not in page


def test_other_slack_is_compared_with_the_slack_of_now_planned_alike(
    client: TestClient, state: Any, sure: str, knots_plan: Plan
) -> None:
    """The plan itself had more work than a trial: what that is worth is no merit of the slack."""

    def plan(day: Day) -> PlanJob:
        found = _costing(knots_plan, day)
        worse = found.objective.model_copy(update={"cost": found.objective.cost + 2})
        return cast(PlanJob, Job(found.model_copy(update={"objective": worse})))

    state.trials = Trials(plan)
    client.post(f"{sure}/slack", headers=PART)
    page = _until(client, f"{sure}/slack", "Try all slack again").replace("\u00a0", " ")
    assert "compared with the slack of now planned by the same work: copies cost 50;" in page
    assert "The plan as it is has the same slack: copies cost 48;" in page
    assert "20 min between steps: copies cost 52, 2 more (0.1 a minute); something lacks in" in page
    assert "5 min between steps: copies cost 50, no more; something lacks in" in page


def test_trials_of_an_older_plan_are_not_shown(
    client: TestClient, state: Any, sure: str, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """A new plan has not been played, and its slack has not been tried."""
    from app.storage.changes.plans import publish_plan
    from app.storage.engine import writing

    state.trials = Trials(lambda day: cast(PlanJob, Job(_costing(knots_plan, day))))
    client.post(f"{sure}/slack", headers=PART)
    _until(client, f"{sure}/slack", "Try all slack again")
    newer = knots_plan.model_copy(update={"number": 2})
    with writing() as conn:
        publish_plan(conn, production, newer, by="test", once="second-plan")
    assert "Play the day ten thousand times" in client.get(f"/productions/{production}/count").text
    page = _until(client, sure, "Where it is weakest")
    assert "Try other slack" in page
    assert "<input" not in page


def test_without_a_plan_there_is_nothing_to_play(client: TestClient, knots_day: Day) -> None:
    """The count has no such part, and its address says why."""
    production = stored(knots_day, None)
    assert 'id="sure"' not in client.get(f"/productions/{production}/count").text
    for method in ("get", "post"):
        address = f"/productions/{production}/sure" + ("/slack" if method == "post" else "")
        answer = client.request(method, address)
        assert answer.status_code == 409
        assert "nothing to play" in answer.text


def test_addresses_that_are_not_there(client: TestClient, production: int) -> None:
    """A bad production, a bad address, a change by GET."""
    assert client.get("/productions/99/sure").status_code == 404
    assert client.post("/productions/99/sure/slack").status_code == 404
    assert client.get("/productions/x/sure").status_code == 404
    assert client.get(f"/productions/{production}/sure/slack/stop").status_code in (404, 405)
    assert client.post(f"/productions/{production}/sure").status_code == 405


def test_only_slack_that_differs_is_tried(knots_day: Day) -> None:
    """And the slack that the plan has once, to compare with."""
    assert len(list(wanted(knots_day))) == 9
    policy = knots_day.policy.model_copy(update={"ready_margin_min": 7, "step_slack_min": 20})
    tried = list(wanted(knots_day.model_copy(update={"policy": policy})))
    assert len(tried) == 10
    assert tried.count(("step_slack_min", 20)) == 1


def _tells(production: int, hour: str, n: int = 0, **says: str | int) -> None:
    at = f"2027-03-04T{hour}"
    append(production, [tick_of({"at": at, "by": "Ada", "once": f"{hour}-{n}-told", **says})])


def _under_way(client: TestClient, state: Any, production: int) -> str:
    """Have the rest of a day played on which a batch was begun; return where that stands."""
    address = f"/productions/{production}/sure"
    _is_now(state, "11:45")
    _tells(production, "11:40", event="started", batch="b1")
    _until(client, address, "Played 50 times from 11:45 on")
    return address


def _is_now(state: Any, hour: str) -> None:
    state.now_s = lambda: Clock("Europe/Lisbon").minute(f"2027-03-04T{hour}") * 60


def test_once_something_has_happened_what_is_to_come_is_played(
    client: TestClient, state: Any, production: int
) -> None:
    """What is over is told apart, what nobody ticked is named, and no other slack is tried."""
    _is_now(state, "14:01")
    _tells(production, "11:40", event="started", batch="b1")
    _tells(production, "11:49", event="staged", batch="b1")
    address = f"/productions/{production}/sure"
    page = _until(client, address, "Played 50 times from 14:01 on, with all that was told by then")
    assert "<li>knots-take-1 at 14:00, mix: scaled</li>" in page
    assert "1 use that is over" in page
    assert "should have started by then, and nobody said so, so they are taken as not begun" in page
    assert f'<a href="/productions/{production}/today">On the day</a>' in page
    assert "slack" not in page
    assert client.post(f"{address}/slack", headers=PART).status_code == 409
    assert "Played 50 times from 14:01 on" in client.get(f"/productions/{production}/count").text


def test_what_is_to_come_is_played_again_as_things_go_on(
    client: TestClient, state: Any, production: int
) -> None:
    """After another tick, and after some minutes without one; not each time that a page looks."""
    address = _under_way(client, state, production)
    _is_now(state, "11:50")
    assert "Played 50 times from 11:45 on" in client.get(address, headers=PART).text
    _tells(production, "11:49", event="staged", batch="b1")
    _until(client, address, "Played 50 times from 11:50 on")
    _is_now(state, "11:56")
    count = client.get(f"/productions/{production}/count").text
    assert f'hx-get="{address}" hx-trigger="load"' in count
    _until(client, address, "Played 50 times from 11:56 on")


def test_a_day_of_which_all_that_was_told_is_taken_back_is_played_whole(
    client: TestClient, state: Any, production: int
) -> None:
    """As before anybody ticked."""
    address = _under_way(client, state, production)
    _tells(production, "11:41", event="undone", undoes=1)
    assert "slack" in _until(client, address, "Played 50 times (seed 1")
