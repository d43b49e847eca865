"""Who may ask: tried from foreign names, foreign pages, and from phones that never joined."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from starlette.routing import Route

from app import web
from app.main import create_app
from app.planning.day import Day
from app.planning.plan import Plan
from app.settings import Settings
from app.web.door import TRIES_EACH, Door
from app.web.guard import COOKIE, CSP
from tests.live import stored

KITCHEN = "http://kitchen.test:8000"
OWN = {"Origin": KITCHEN}
HTML = {"Accept": "text/html"}


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[TestClient]:
    """Yield a phone that asks a server on the kitchen's network, and has not joined."""
    app = create_app(Settings(data=tmp_path / "var", example="none", host="0.0.0.0"))
    with TestClient(app, base_url=KITCHEN, follow_redirects=False) as asking:
        yield asking


def door_of(asking: TestClient) -> Door:
    """Return the door of the app that a client asks."""
    door = asking.app.state.door  # type: ignore[attr-defined]
    assert isinstance(door, Door)
    return door


def routes_of() -> list[tuple[str, str]]:
    """Return every method and address of the app, with 1 for each blank in it."""
    found = [("GET", "/openapi.json")]
    for route in (route for router in web.ROUTERS for route in router.routes):
        assert isinstance(route, Route), f"a kind of route that these tests do not know: {route}"
        parts = ["1" if part.startswith("{") else part for part in route.path.split("/")]
        found += [(method, "/".join(parts)) for method in route.methods or ()]
    return found


def test_no_route_lets_a_stranger_in(phone: TestClient) -> None:
    """Without a pass every address of the app leads to the join page or says 401."""
    tried = 0
    for method, path in routes_of():
        if path.startswith(("/join", "/static")):
            continue
        answer = phone.request(method, path, headers=OWN)
        assert answer.status_code == 401, (method, path)
        tried += 1
    assert tried > 25


def test_a_stranger_s_visit_leads_to_the_join_page(phone: TestClient) -> None:
    answer = phone.get("/productions/1/board?day=all", headers=HTML)
    assert (answer.status_code, answer.headers["location"]) == (
        303,
        "/join?next=%2Fproductions%2F1%2Fboard%3Fday%3Dall",
    )


@pytest.mark.parametrize("shown", ["", "x", "Ada.x.y", "a.QWRh." + "0" * 64])
def test_a_made_up_pass_opens_nothing(phone: TestClient, shown: str) -> None:
    phone.cookies.set(COOKIE, shown)
    assert phone.get("/").status_code == 401


@pytest.mark.parametrize(
    "path",
    [
        "/join/../productions/1/board",
        "/static/../productions/1/board",
        "/static/%2e%2e/productions/1/board",
        "/join%2f..%2fproductions/1/board",
        "//join/productions/1/board",
        "/static/..%2f..%2fapp/settings.py",
        "/static//etc/passwd",
        "/Join",
        "/joined",
        "/static",
        "/staticx",
        "/productions/1/board?/join",
        "/productions/1/board;/static/",
    ],
)
def test_an_address_like_an_open_one_opens_nothing(
    phone: TestClient, knots_day: Day, knots_plan: Plan, path: str
) -> None:
    """Neither a production nor a file of the program, however the address is twisted."""
    stored(knots_day, knots_plan)
    answer = phone.get(path)
    assert answer.status_code in (401, 404)
    for secret in ("Harvest hour", "KN-1", "STAGELARDER_", "root:"):
        assert secret not in answer.text


def test_the_code_lets_in_and_the_phone_picks_its_person_once(phone: TestClient) -> None:
    code = door_of(phone).code
    joined = phone.post("/join", data={"code": code, "next": "/productions/1/list"}, headers=OWN)
    assert joined.headers["location"] == "/join/person?next=/productions/1/list"
    assert phone.get("/", headers=HTML).headers["location"] == "/join/person?next=%2F"
    picked = phone.post(
        "/join/person", data={"person": "Ada", "next": "/productions/1/list"}, headers=OWN
    )
    assert picked.headers["location"] == "/productions/1/list"
    assert door_of(phone).person(phone.cookies.get(COOKIE)) == "Ada"
    assert phone.get("/").status_code == 200


def test_a_phone_can_be_handed_on(phone: TestClient, knots_day: Day, knots_plan: Plan) -> None:
    """My list says who holds the phone, and leads to where somebody else takes it."""
    id = stored(knots_day, knots_plan)
    phone.cookies.set(COOKIE, door_of(phone).sign("Ada"))
    page = phone.get(f"/productions/{id}/list").text
    assert "This phone is held by Ada." in page
    assert f'href="/join/person?next=/productions/{id}/list"' in page


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(phone: TestClient) -> None:
    joined = phone.post("/join", data={"code": door_of(phone).code}, headers=OWN)
    said = joined.headers["set-cookie"].lower()
    assert "httponly" in said
    assert "samesite=lax" in said


def test_the_qr_code_lets_in_by_a_button_not_by_the_visit(phone: TestClient) -> None:
    """Nothing changes on a GET: the visit shows a button, the button brings the pass."""
    token = door_of(phone).token
    visit = phone.get(f"/join?key={token}")
    assert "set-cookie" not in visit.headers
    assert token in visit.text
    assert phone.post("/join", data={"key": token}, headers=OWN).status_code == 303
    assert phone.get("/join/person").status_code == 200


def test_wrong_codes_are_told_and_then_must_wait(phone: TestClient) -> None:
    code = door_of(phone).code
    wrong = "000000" if code != "000000" else "000001"
    for _ in range(TRIES_EACH):
        answer = phone.post("/join", data={"code": wrong}, headers=OWN)
        assert answer.status_code == 403
        assert "That is not the code." in answer.text
    answer = phone.post("/join", data={"code": code}, headers=OWN)
    assert answer.status_code == 429
    assert "Too many wrong codes." in answer.text
    assert phone.get("/").status_code == 401


def test_who_has_not_joined_cannot_pick_a_person(phone: TestClient) -> None:
    for answer in (
        phone.get("/join/person"),
        phone.post("/join/person", data={"person": "Ada"}, headers=OWN),
    ):
        assert answer.status_code == 401
        assert "set-cookie" not in answer.headers


@pytest.mark.parametrize("next", ["https://elsewhere.test", "//elsewhere.test", "/\\elsewhere"])
def test_joining_never_leads_elsewhere(phone: TestClient, next: str) -> None:
    form = {"code": door_of(phone).code, "next": next}
    assert phone.post("/join", data=form, headers=OWN).headers["location"] == "/join/person?next=/"


@pytest.mark.parametrize("name", ["", "   ", "x" * 49, "a\x00b"])
def test_a_name_that_is_none_is_told(phone: TestClient, name: str) -> None:
    phone.post("/join", data={"code": door_of(phone).code}, headers=OWN)
    answer = phone.post("/join/person", data={"other": name}, headers=OWN)
    assert answer.status_code == 422


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "http://elsewhere.test"},
        {"Origin": "null"},
        {"Origin": "http://kitchen.test:9000"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site", "Origin": KITCHEN},
        {"Sec-Fetch-Site": "none"},
        {"Sec-Fetch-Site": "same-origin", "Origin": "http://elsewhere.test"},
    ],
)
def test_a_change_from_a_foreign_page_is_refused(
    phone: TestClient, headers: dict[str, str]
) -> None:
    """Even with the right code: no pass is given, and a change with neither header is refused."""
    answer = phone.post("/join", data={"code": door_of(phone).code}, headers=headers)
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


def test_a_change_of_an_own_page_is_heard(phone: TestClient) -> None:
    for headers in (OWN, {"Sec-Fetch-Site": "same-origin"}):
        answer = phone.post("/join", data={"code": door_of(phone).code}, headers=headers)
        assert answer.status_code == 303


@pytest.mark.parametrize("host", ["kitchen.test", "elsewhere.test:8000", "127.0.0.1.test", ""])
def test_a_local_server_answers_only_to_its_own_names(client: TestClient, host: str) -> None:
    """A foreign name that was bound to 127.0.0.1 reads nothing."""
    assert client.get("/", headers={"Host": host}).status_code == 403


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost:8000", "[::1]:8000", "127.0.0.1"])
def test_a_local_server_asks_nobody(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"Host": host}).status_code == 200


def test_every_answer_bears_the_headers(client: TestClient, phone: TestClient) -> None:
    """Pages, parts of the static folder, refusals and errors alike."""
    for asked in (
        client.get("/"),
        client.get("/nowhere"),
        client.get("/static/site.css"),
        client.get("/", headers={"Host": "elsewhere.test"}),
        phone.get("/"),
    ):
        assert asked.headers["content-security-policy"] == CSP
        assert asked.headers["x-content-type-options"] == "nosniff"
        assert asked.headers["referrer-policy"] == "same-origin"


def test_an_unexpected_error_bears_the_headers_too(settings: Settings) -> None:
    app = create_app(settings)

    @app.get("/breaks")
    def breaks() -> None:
        """Break."""
        raise RuntimeError

    with TestClient(app, base_url="http://127.0.0.1", raise_server_exceptions=False) as asking:
        answer = asking.get("/breaks")
    assert answer.status_code == 500
    assert answer.headers["content-security-policy"] == CSP
