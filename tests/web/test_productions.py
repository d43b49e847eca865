"""The productions: list, new from a file, examples, copies, export, removal."""

import json
import re

import pytest
from fastapi.testclient import TestClient

from app.planning.canonical import canonical
from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.drafts import begin_draft, end_draft
from app.storage.engine import writing
from tests.live import stored

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


def _import(client: TestClient, data: bytes, **more: str):
    files = {"day": ("my.day.json", data, "application/json")}
    return client.post("/productions", files=files, data=more, headers=PART)


def test_an_empty_store_says_what_to_do_first(client: TestClient) -> None:
    """Open an example, or bring a file."""
    page = client.get("/").text
    assert "No production yet" in page
    assert "A studio day" in page
    assert "From a day file" in page


def test_a_fresh_install_shows_the_planned_example_with_three_links(
    client: TestClient, production: int
) -> None:
    """See the board, print the papers, start your own."""
    page = client.get("/").text
    assert "Harvest hour is planned" in page
    for address, words in [
        (f"/productions/{production}/board", "See the board"),
        (f"/productions/{production}/papers", "Print the papers"),
        ("#new-title", "Start your own"),
    ]:
        assert f'<a href="{address}">' in page
        assert words in page


def test_a_day_file_becomes_a_production(client: TestClient, knots_day: Day) -> None:
    """And comes out again as it went in, to the byte, in its canonical form."""
    sent = _import(client, canonical(knots_day))
    address = sent.headers["HX-Redirect"]
    assert address.endswith("/rundown")
    file = client.get(address.replace("rundown", "day.json"))
    assert file.content == canonical(knots_day)
    assert 'filename="Harvest-hour' in file.headers["Content-Disposition"]


def test_a_refused_file_tells_every_fault_and_stores_nothing(
    client: TestClient, knots_day: Day
) -> None:
    """With place, value and mend; the form stays as it is beside it."""
    broken = json.loads(canonical(knots_day))
    broken["demonstrations"][0]["stages"][1]["from"][0]["stage"] = "scaledd"
    broken["runs"][0]["kind"] = "party"
    refused = _import(client, json.dumps(broken).encode())
    assert refused.status_code == 422
    assert "my.day.json was refused; nothing of it was stored" in refused.text
    assert "demonstrations[0].stages[1].from[0].stage" in refused.text
    assert "runs[0].kind" in refused.text
    assert refused.text.lstrip().startswith('<div id="refused">')
    assert "No production yet" in client.get("/").text


@pytest.mark.parametrize("data", [b"", b"\x00\xff\xfe", b"[" * 10_000, b"{", b'{"format":"day/2"}'])
def test_rubbish_is_refused_in_a_sentence(client: TestClient, data: bytes) -> None:
    """Nothing that somebody uploads breaks the page."""
    refused = _import(client, data)
    assert refused.status_code == 422
    assert "was refused" in refused.text


def test_a_file_that_is_far_too_large_is_refused_with_its_weight(client: TestClient) -> None:
    """Weighed, not read: fifty megabytes by the reader, more by the page."""
    assert "50.0 MB are too many" in _import(client, bytes(50_000_000)).text
    heavy = client.post("/productions", content=b"", headers=PART | {"Content-Length": "90000000"})
    assert heavy.status_code == 413
    assert "90 MB" in heavy.text


def test_a_file_that_was_not_chosen_is_told_beside_the_field(client: TestClient) -> None:
    """The wrong state of the smallest mistake; without script the whole page comes."""
    empty = {"day": ("", b"", "application/octet-stream")}
    for headers, has_page in [(PART, False), ({}, True)]:
        refused = client.post("/productions", files=empty, headers=headers)
        assert refused.status_code == 422
        assert "Choose a file first." in refused.text
        assert ("<html" in refused.text) is has_page


def test_a_double_click_adds_once(client: TestClient, knots_day: Day) -> None:
    """The same once-key is the same production."""
    first = _import(client, canonical(knots_day), once="click")
    second = _import(client, canonical(knots_day), once="click")
    assert first.headers["HX-Redirect"] == second.headers["HX-Redirect"]


@pytest.mark.parametrize("name", ["studio", "class"])
def test_an_example_opens_as_a_production(client: TestClient, name: str) -> None:
    """Each with the demonstrations that it is known for."""
    sent = client.post(f"/productions/examples/{name}", headers=PART)
    page = client.get(sent.headers["HX-Redirect"])
    assert page.status_code == 200
    assert client.post("/productions/examples/none", headers=PART).status_code == 404


def test_a_copy_has_the_runs_and_no_plan(client: TestClient, production: int) -> None:
    """Copy last week's, change the rundown, plan anew."""
    address = f"/productions/{production}/copy"
    sent = client.post(address, data={"title": "Harvest hour, two"}, headers=PART)
    page = client.get(sent.headers["HX-Redirect"]).text
    assert "Harvest hour, two" in page
    assert "knots-take-2" in page
    assert "No plan yet" in page
    assert client.post(address, data={"title": "x" * 200}, headers=PART).status_code == 422
    later = client.post(address, data={"title": "Later", "date": "2027-03-11"}, headers=PART)
    assert "Thu 11 March" in client.get(later.headers["HX-Redirect"]).text
    assert client.post(address, data={"date": "soon"}, headers=PART).status_code == 422


def test_what_was_removed_can_be_brought_back(client: TestClient, production: int) -> None:
    """Nothing is lost by a tap too many."""
    part = client.post(f"/productions/{production}/remove", headers=PART).text
    assert "Removed" in part
    assert client.get(f"/productions/{production}/count").status_code == 404
    client.post(f"/productions/{production}/bring-back", headers=PART)
    assert client.get(f"/productions/{production}/count").status_code == 200


def test_a_plan_comes_out_as_a_file(client: TestClient, production: int, knots_day: Day) -> None:
    """As the published plan stands; without one the sentence says so."""
    file = client.get(f"/productions/{production}/plan.json")
    assert Plan.model_validate(file.json()).objective.cost == 48
    assert client.get(f"/productions/{stored(knots_day, None)}/plan.json").status_code == 404


def test_an_address_without_a_screen_goes_to_the_rundown(
    client: TestClient, production: int
) -> None:
    """And one of nothing says so."""
    page = client.get(f"/productions/{production}")
    assert page.url.path == f"/productions/{production}/rundown"
    assert client.get("/productions/99").status_code == 404


@pytest.mark.parametrize(
    "address", ["/productions", "/productions/examples/studio", "/productions/1/copy"]
)
def test_nothing_changes_on_get(client: TestClient, address: str) -> None:
    """Neither does a crawler or a preview of a link."""
    assert client.get(address).status_code in (404, 405)


@pytest.mark.parametrize("way", ["copy", "remove", "bring-back"])
def test_a_change_of_a_production_that_is_not_there(client: TestClient, way: str) -> None:
    """A bad id is a sentence."""
    refused = client.post(f"/productions/99/{way}", headers=PART)
    assert refused.status_code == 404
    assert 'role="alert"' in refused.text


def test_the_list_asks_as_few_questions_for_many_as_for_one(
    client: TestClient, knots_day: Day
) -> None:
    """A list that asks once a row is fast only while nobody uses it."""
    from sqlalchemy import event

    from app.storage.engine import opened

    asked: list[str] = []
    reader = opened().reader
    event.listen(reader, "before_cursor_execute", lambda *given: asked.append(given[2]))
    counts = []
    for _ in range(3):
        stored(knots_day, None)
        asked.clear()
        assert client.get("/").status_code == 200
        counts.append(len(asked))
    assert len(set(counts)) == 1


def test_a_production_begins_from_nothing(client: TestClient) -> None:
    """Tests its facts, that a double tap begins one, and that its empty screens can be seen."""
    said = {"title": "First show", "date": "2027-05-03", "hour": "08:00", "once": "1"}
    said |= {"timezone": "Europe/Lisbon", "kind": "class"}
    for _ in range(2):
        answer = client.post("/productions/new", data=said, follow_redirects=False)
        assert answer.headers["Location"] == "/productions/1/demonstrations"
    day = client.get("/productions/1/day.json").json()
    assert (day["title"], day["kind"], day["prep_from"]) == said_back(said)
    assert day["policy"] == {"step_slack_min": 10}
    for screen in ("demonstrations", "rundown", "kitchen", "count", "history"):
        assert client.get(f"/productions/1/{screen}").status_code == 200


def said_back(said: dict[str, str]) -> tuple[str, str, str]:
    """Return what the day file should say of a form."""
    return said["title"], said["kind"], f"{said['date']}T{said['hour']}"


@pytest.mark.parametrize(
    "wrong",
    [{"title": ""}, {"date": "soon"}, {"timezone": "Mars/Base"}, {"kind": "x"}, {"kitchen": "9"}],
)
def test_a_production_that_cannot_begin_is_told_why(
    client: TestClient, wrong: dict[str, str]
) -> None:
    """Tests each field, and that nothing is stored."""
    said = {"title": "First show", "date": "2027-05-03", "timezone": "UTC", "kind": "class"}
    assert client.post("/productions/new", data=said | wrong).status_code in (404, 422)
    assert "No production yet" in client.get("/").text


def test_a_kitchen_is_kept_and_used_again(client: TestClient, production: int) -> None:
    """Tests that a new production may have the kitchen of another, without its shifts."""
    page = client.get("/").text
    number = re.search(r'<option value="(\d+)">that of', page)
    assert number is not None
    said = {"title": "Second", "date": "2027-05-03", "timezone": "UTC", "kind": "broadcast"}
    client.post("/productions/new", data=said | {"kitchen": number[1]})
    kitchen = client.get("/productions/2/day.json").json()["kitchen"]
    assert [each["id"] for each in kitchen["equipment"]] == ["deck-oven", "mixer-a"]
    assert kitchen["crew"] == [{"id": "cook-1", "shifts": [], "skills": ["pastry"]}]


def test_a_draft_that_waits_for_an_answer_is_told_in_the_list(
    client: TestClient, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """Not while it is being worked out: who opens the list then has nothing to answer."""
    with writing() as conn:
        key = begin_draft(conn, production, knots_day, by="Ada")
    assert "waits for an answer" not in client.get("/").text
    with writing() as conn:
        end_draft(conn, key, knots_plan, None)
    told = f'<a href="/productions/{production}/plan">A draft plan waits for an answer.</a>'
    assert told in client.get("/").text
