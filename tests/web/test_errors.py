"""Every error is a sentence, as a page, a banner or JSON."""

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from app.storage.refusals import Begun, Conflict, DiskFull, NotThere, Refusal
from app.web import errors
from app.web.errors import Told

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


@pytest.fixture
def broken() -> TestClient:
    """Return a client of an app whose pages fail in every way."""
    app = FastAPI()
    errors.install(app)
    conflict = Conflict("Ada was first.", field="starts", theirs="14:00", yours="15:00", by="Ada")
    failures: dict[str, Exception] = {
        "told": Told(409, "That was <b>late</b>.", kept="Plan 1 stays.", then="Back", go="/back"),
        "missing": NotThere("There is no such run."),
        "begun": Begun("Plan 1 has begun."),
        "conflict": conflict,
        "refused": Refusal("That cannot be."),
        "full": DiskFull("The disk is full."),
        "bug": RuntimeError("a secret of the inside"),
    }

    @app.get("/{how}")
    def fail(how: str) -> None:
        raise failures[how]

    @app.get("/number/{number}")
    def number(number: int) -> int:
        return number

    @app.get("/query/")
    def query(n: int) -> int:
        return n

    return TestClient(app, raise_server_exceptions=False)


@pytest.mark.parametrize(
    ("how", "status", "said"),
    [
        ("told", 409, "That was &lt;b&gt;late&lt;/b&gt;."),
        ("missing", 404, "There is no such run."),
        ("begun", 409, "Plan 1 has begun."),
        ("conflict", 409, "Ada was first."),
        ("refused", 422, "That cannot be."),
        ("full", 503, "The disk is full."),
        ("bug", 500, "Something broke in the program; this is our mistake, not yours."),
        ("number/x", 404, "There is nothing at this address."),
        ("query/?n=x", 422, "See: n."),
        ("none/at/all", 404, "There is nothing at this address."),
    ],
)
def test_an_error_is_a_page_to_a_visit_and_a_banner_to_a_part(
    broken: TestClient, how: str, status: int, said: str
) -> None:
    """The same words, and the same status."""
    page = broken.get(f"/{how}")
    assert (page.status_code, said in page.text, "<html" in page.text) == (status, True, True)
    banner = broken.get(f"/{how}", headers=PART)
    assert (banner.status_code, said in banner.text, "<html" in banner.text) == (
        status,
        True,
        False,
    )
    assert banner.headers["HX-Retarget"] == "#banner"


def test_an_error_within_a_production_keeps_the_way_to_its_screens(
    client: TestClient, production: int
) -> None:
    """One of a production that is not there leads to the list of all."""
    there = client.get(f"/productions/{production}/copies/ZZ-1")
    assert there.status_code == 404
    assert f'href="/productions/{production}/board"' in there.text
    assert "/board" not in client.get("/productions/999/copies/ZZ-1").text


def test_a_script_is_answered_in_json(broken: TestClient) -> None:
    """What is wrong, and what became of the work."""
    said = broken.get("/told", headers={"Accept": "application/json"})
    assert said.json() == {"error": "That was <b>late</b>.", "kept": "Plan 1 stays."}


def test_a_bug_tells_nothing_of_the_inside(broken: TestClient) -> None:
    """The log has it; the page has a sentence."""
    assert "secret" not in broken.get("/bug").text


def test_a_wrong_method_is_told_with_the_methods_that_are_right(broken: TestClient) -> None:
    """As the protocol asks."""
    refused = broken.post("/told")
    assert refused.status_code == 405
    assert refused.headers["Allow"] == "GET"
    assert "only takes what a button of its own page sends" in refused.text
