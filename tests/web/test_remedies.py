"""What stands in the way stands on the screen, and a button takes up what would help."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from fastapi.testclient import TestClient

from app.planning.advice import planned
from app.planning.blockers.words import more_may
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.storage.changes.undo import take_back
from app.storage.engine import reading, writing
from app.storage.queries.history import history
from app.storage.translate import day_of
from app.web.advice import advice_on, key_of
from app.web.jobs import Told
from tests.live import stored
from tests.web.desk import QuietJob, quiet_desk

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}
LATER = "Start t1 at 11:25, 1 min later."


@pytest.fixture(scope="module")
def clashing(golden: Callable[[str], Any]) -> tuple[Day, Plan]:
    """Return a day of two bakes at different heats that do not fit, and its plan."""
    day = read_day(golden("setting-change-impossible.day.json"))
    return day, planned(day)


@pytest.fixture
def bakes(client: TestClient, clashing: tuple[Day, Plan]) -> int:
    """Return the id of that production, its plan published."""
    return stored(*clashing)


@pytest.fixture
def jobs(client: TestClient) -> list[QuietJob]:
    """Return the jobs that the planning desk is given, the last one last."""
    with quiet_desk(client) as made:
        return made


def _key(plan: Plan, words: str) -> str:
    return next(key_of(each) for each in plan.remedies if each.words == words)


def _take_up(client: TestClient, production: int, key: str, once: str = "tap") -> Any:
    sent = {"remedy": key, "once": once}
    return client.post(f"/productions/{production}/remedies", data=sent, headers=PART)


def _day(production: int) -> Day:
    with reading() as conn:
        return day_of(conn, production)


def test_the_count_tells_the_clash_and_has_a_button_for_each_remedy(
    client: TestClient, bakes: int, clashing: tuple[Day, Plan]
) -> None:
    """In words, with what it costs, as a form that works without script too."""
    page = client.get(f"/productions/{bakes}/count").text
    assert "These cannot hold together" in page
    assert "<li>bringing oven-1 to another setting takes 15 min</li>" in page
    assert f"{LATER} <span" in page
    assert "Copies cost 2 (1 more)" in page
    assert page.count("Take it up") == len(clashing[1].remedies)
    assert page.count("The kitchen changes for every production") == 1


def test_taking_it_up_changes_the_production_and_plans_anew(
    client: TestClient, bakes: int, clashing: tuple[Day, Plan], jobs: list[QuietJob]
) -> None:
    """The record says who did what; the published plan holds until the new one is accepted."""
    day, plan = clashing
    sent = _take_up(client, bakes, _key(plan, LATER))
    assert sent.headers["HX-Redirect"] == f"/productions/{bakes}/count"
    changed = _day(bakes)
    assert changed.run("t1").starts == "2027-03-04T11:25"
    assert [(job.day, job.number) for job in jobs] == [(changed, 2)]
    page = client.get(f"/productions/{bakes}/count").text
    assert "A plan is being worked out" in page
    assert "Take it up" not in page
    with reading() as conn:
        newest = history(conn, bakes)[0]
    assert newest.words.endswith(f"took up a remedy: {LATER}")
    with writing() as conn:
        take_back(conn, bakes, newest.n, by=newest.by, once="back")
    assert _day(bakes) == day


def test_a_double_tap_takes_it_up_once(
    client: TestClient, bakes: int, clashing: tuple[Day, Plan], jobs: list[QuietJob]
) -> None:
    """The second tap goes where the first went."""
    for _ in range(2):
        sent = _take_up(client, bakes, _key(clashing[1], LATER))
        assert sent.headers["HX-Redirect"].endswith("/count")
    assert len(jobs) == 1
    with reading() as conn:
        assert sum("remedy" in each.words for each in history(conn, bakes)) == 1


def test_a_draft_that_lacks_something_has_remedies_of_its_own(
    client: TestClient, bakes: int, clashing: tuple[Day, Plan], jobs: list[QuietJob]
) -> None:
    """A first plan that is not accepted yet can be bettered at once."""
    client.post(f"/productions/{bakes}/plan", headers=PART)
    jobs[0].told = Told("remedies", 3.0, None, 12.0)
    assert "what would help" in client.get(f"/productions/{bakes}/plan", headers=PART).text
    jobs[0].plan = clashing[1]
    part = client.get(f"/productions/{bakes}/plan", headers=PART).text
    assert "is ready" in part
    assert "Which needs these are" in part
    assert "short</span> tart, t1 at 11:24, show: 1 baked" in part
    assert "What stands in the way" in part
    assert _take_up(client, bakes, _key(clashing[1], LATER)).status_code == 200
    assert len(jobs) == 2


def test_remedies_are_shown_and_taken_up_as_they_come(
    client: TestClient, bakes: int, clashing: tuple[Day, Plan], jobs: list[QuietJob]
) -> None:
    """The first has its button while others are sought; a tap ends the search for them."""
    plan = clashing[1]
    client.post(f"/productions/{bakes}/plan", headers=PART)
    jobs[0].told = Told("blockers", 0, None, 11.0)
    jobs[0].early = plan.model_copy(update={"blockers": (), "remedies": ()})
    part = client.get(f"/productions/{bakes}/plan", headers=PART).text
    assert "Take it up" not in part
    jobs[0].early = plan.model_copy(update={"remedies": ()})
    part = client.get(f"/productions/{bakes}/plan", headers=PART).text
    assert "These cannot hold together" in part
    assert "Nothing that would help is found yet." in part
    jobs[0].told = Told("remedies", 1, None, 12.0)
    first = next(each for each in plan.remedies if each.words == LATER)
    jobs[0].early = plan.model_copy(update={"remedies": (first,)})
    for address in (f"/productions/{bakes}/plan", f"/productions/{bakes}/count"):
        page = client.get(address).text
        assert page.count("Take it up") == 1
        assert LATER in page
        assert "More are being tried" in page
        assert "Stop looking, keep the plan" in page
    assert _take_up(client, bakes, _key(plan, LATER)).status_code == 200
    assert _day(bakes).run("t1").starts == "2027-03-04T11:25"
    assert jobs[0].asked == ["kill"]
    assert len(jobs) == 2


def test_that_more_may_stand_in_the_way_is_said(
    client: TestClient, clashing: tuple[Day, Plan]
) -> None:
    """Beside what was found, and where nothing was found at all."""
    day, plan = clashing
    for has_some in (True, False):
        said = more_may(2, has_some)
        blockers = plan.blockers if has_some else ()
        update = {"blockers": blockers, "remedies": (), "warnings": (*plan.warnings, said)}
        id = stored(day, plan.model_copy(update=update))
        page = client.get(f"/productions/{id}/count").text
        assert f'<p class="more">{said}</p>' in page
        assert page.count("What stands in the way</h3>") == 1


def test_what_is_not_on_offer_is_refused_in_a_sentence(
    client: TestClient, bakes: int, clashing: tuple[Day, Plan], jobs: list[QuietJob]
) -> None:
    """An unknown remedy, none at all, and one of a day that has changed since."""
    key = _key(clashing[1], LATER)
    refused = [_take_up(client, bakes, "unknown"), _take_up(client, bakes, "")]
    moved = {"date": "2027-03-04", "hour": "11:40", "which": "one"}
    moved |= {"began_from": clashing[0].run("t1").starts}
    assert client.post(f"/productions/{bakes}/rundown/t1", data=moved).status_code == 200
    refused.append(_take_up(client, bakes, key))
    for sent in refused:
        assert sent.status_code == 409
        assert "not on offer any more" in sent.text
    assert _day(bakes).run("t1").starts == "2027-03-04T11:40"
    assert jobs == []
    assert "Take it up" not in client.get(f"/productions/{bakes}/count").text


def test_nothing_is_offered_once_the_plan_has_begun(
    client: TestClient, bakes: int, clashing: tuple[Day, Plan], jobs: list[QuietJob]
) -> None:
    """A plan that is under way is mended, not planned anew."""
    from app.storage.log import append
    from app.storage.ticks import tick_of

    said = {"event": "started", "batch": clashing[1].batches[0].id, "at": "2027-03-04T10:30"}
    append(bakes, [tick_of(said | {"once": "t", "by": "Ada"})])
    assert "Take it up" not in client.get(f"/productions/{bakes}/count").text
    refused = _take_up(client, bakes, _key(clashing[1], LATER))
    assert refused.status_code == 409
    assert "has started" in refused.text


def test_looking_changes_nothing_and_a_bad_id_is_a_sentence(client: TestClient) -> None:
    """A GET is refused, and so is a production that is not there."""
    assert client.get("/productions/1/remedies").status_code == 405
    assert client.post("/productions/99/remedies", data={"remedy": "x"}).status_code == 404


def test_a_plan_that_lacks_nothing_tells_nothing(
    client: TestClient, production: int, knots_plan: Plan
) -> None:
    """No empty headings."""
    assert advice_on(knots_plan) is None
    page = client.get(f"/productions/{production}/count").text
    assert not re.search("stands in the way|would help", page)
