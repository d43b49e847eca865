"""Allergens on screens: the table, the warning on every screen, decisions by name."""

import json
import re
from typing import Any

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.people import meetings
from app.planning.plan import Plan
from tests.live import stored
from tests.paper.opened import Opened
from tests.web.test_crew_pages import words_of

SCREENS = [
    "rundown",
    "count",
    "board",
    "list",
    "pulls",
    "shelves",
    "papers",
    "kitchen",
    "allergens",
]
WARNED = "Cardamom knots, baked. Teo avoids gluten: wheat from strong flour."


def day_with(knots_day: Day) -> Day:
    """Return the knots day with a tasting that would serve Teo wheat."""
    document = json.loads(knots_day.model_dump_json(by_alias=True))
    document["runs"][0]["people"] = [{"name": "Teo", "avoids": ["gluten"]}]
    knots = document["demonstrations"][0]
    knots["stages"][0]["ingredients"] = [{"name": "strong flour", "contains": ["wheat"]}]
    knots["stages"][-1]["ready_to_eat"] = True
    knots["beats"][-1]["needs"][0]["tasting"] = True
    return Day.model_validate(document)


@pytest.fixture
def tasting(client: TestClient, knots_day: Day, knots_plan: Plan) -> int:
    """Return the production with that tasting."""
    return stored(day_with(knots_day), knots_plan)


def shown(client: TestClient, production: int, screen: str = "allergens") -> str:
    """Return the words of a screen, one blank between them."""
    return " ".join(words_of(client.get(f"/productions/{production}/{screen}").text).split())


def key_of(knots_day: Day) -> str:
    """Return the key of the meeting that is served."""
    (served,) = [each for each in meetings(day_with(knots_day)) if each.is_served]
    return served.key


@pytest.mark.parametrize("screen", SCREENS)
def test_the_warning_stands_on_every_screen(client: TestClient, tasting: int, screen: str) -> None:
    assert f"NOT DECIDED knots-take-1, reveal: {WARNED}" in shown(client, tasting, screen)


@pytest.mark.parametrize("screen", SCREENS)
def test_where_nobody_is_named_no_screen_warns(
    client: TestClient, production: int, screen: str
) -> None:
    assert "NOT DECIDED" not in shown(client, production, screen)


def test_a_decision_by_name_takes_it_away(client: TestClient, tasting: int, knots_day: Day) -> None:
    address = f"/productions/{tasting}/allergens"
    typed = {"key": key_of(knots_day), "choice": "looks", "by": "Ada", "once": "o1"}
    answer = client.post(f"{address}/decide", data=typed, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, address)
    words = shown(client, tasting)
    assert "They only look, and do not eat. Ada," in words
    for screen in SCREENS:
        assert "NOT DECIDED" not in shown(client, tasting, screen)


def test_it_can_be_taken_back(client: TestClient, tasting: int, knots_day: Day) -> None:
    address = f"/productions/{tasting}/allergens"
    key = key_of(knots_day)
    own = {"choice": "own", "words": "Rice knots for Teo.", "by": "Ada"}
    client.post(f"{address}/decide", data={"key": key, "once": "o1"} | own)
    assert "Rice knots for Teo." in shown(client, tasting)
    client.post(f"{address}/undo", data={"key": key, "once": "o2"})
    assert "NOT DECIDED" in shown(client, tasting, "board")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"choice": "looks", "by": ""}, "This must not be empty."),
        ({"choice": "own", "words": "", "by": "Ada"}, "This must not be empty."),
        ({"choice": "hats", "by": "Ada"}, "One of: other, looks"),
    ],
)
def test_what_cannot_be_kept_is_told_and_nothing_typed_is_lost(
    client: TestClient, tasting: int, knots_day: Day, typed: dict[str, str], words: str
) -> None:
    address = f"/productions/{tasting}/allergens/decide"
    answer = client.post(address, data={"key": key_of(knots_day)} | typed)
    assert answer.status_code == 422
    assert words in words_of(answer.text)
    if typed["by"]:
        assert 'value="Ada"' in answer.text
    assert "NOT DECIDED" in shown(client, tasting, "board")


def test_a_second_decision_is_told_whose_the_first_is(
    client: TestClient, tasting: int, knots_day: Day
) -> None:
    address = f"/productions/{tasting}/allergens/decide"
    typed = {"key": key_of(knots_day), "choice": "looks"}
    client.post(address, data=typed | {"by": "Ada", "once": "o1"})
    answer = client.post(address, data=typed | {"by": "Ben", "once": "o2"})
    assert answer.status_code == 409
    assert "Ada has decided on this already" in words_of(answer.text)


def test_what_has_changed_meanwhile_is_not_decided_on(client: TestClient, tasting: int) -> None:
    typed = {"key": "gone", "choice": "looks", "by": "Ada"}
    answer = client.post(f"/productions/{tasting}/allergens/decide", data=typed)
    assert answer.status_code == 404
    assert "has changed, so nothing was decided" in answer.text


def test_the_table_has_the_law_s_columns(client: TestClient, tasting: int) -> None:
    words = shown(client, tasting)
    assert "US nine" in words
    assert "crustacean shellfish" in words
    assert "in all wheat" in words
    assert "scaled wheat" in words


def test_what_touches_them_and_is_not_eaten_is_told_too(client: TestClient, tasting: int) -> None:
    words = shown(client, tasting)
    assert "knots-take-1, mix: Cardamom knots, scaled. Teo avoids gluten" in words


def test_without_people_it_says_that_nobody_is_checked(client: TestClient, production: int) -> None:
    words = shown(client, production)
    assert "No run names its people" in words
    assert "nobody is checked against allergens" in words


def test_a_swap_gets_the_part(client: TestClient, tasting: int) -> None:
    headers = {"HX-Request-Type": "partial"}
    part = client.get(f"/productions/{tasting}/allergens", headers=headers)
    assert "<html" not in part.text
    assert 'id="allergens"' in part.text


def test_a_production_that_is_not_there_is_told(client: TestClient) -> None:
    assert client.get("/productions/99/allergens").status_code == 404


PARAMETERS = {
    "demonstration": "knots",
    "ref": "knots/baked/1",
    "batch": "b1",
    "run": "knots-take-1",
    "item": "deck-oven",
    "cook": "cook-1",
    "name": "dough",
}
PAPERS = ("board", "pulls", "runsheet", "shelves", "breakdown", "labels", "shopping", "allergens")


def pages(client: TestClient, production: int) -> dict[str, str]:
    """Return every whole page of a production that the app answers, by its address."""
    app: Any = client.app
    found = {}
    for path, ways in app.openapi()["paths"].items():
        if "get" not in ways or not path.startswith("/productions/{id}/"):
            continue
        address = re.sub(r"{(\w+)(:path)?}", lambda each: told(each[1], production), path)
        answer = client.get(address)
        kind = answer.headers["content-type"]
        if answer.status_code == 200 and kind.startswith("text/html") and "<html" in answer.text:
            found[path.removeprefix("/productions/{id}/")] = " ".join(words_of(answer.text).split())
    return found


def told(name: str, production: int) -> str:
    """Return what stands for a part of an address; what there is not is answered otherwise."""
    return str(production) if name == "id" else PARAMETERS.get(name, "1")


def decide(client: TestClient, production: int, knots_day: Day) -> None:
    """Have Ada decide that Teo only looks."""
    typed = {"key": key_of(knots_day), "choice": "looks", "by": "Ada", "once": f"o{production}"}
    client.post(f"/productions/{production}/allergens/decide", data=typed)


def test_the_warning_stands_on_every_page_there_is_until_somebody_decides(
    client: TestClient, tasting: int, knots_day: Day
) -> None:
    """Whichever pages the app has; new ones as well. Who decided what stays told."""
    before = pages(client, tasting)
    must = {"board", "list", "pulls", "shelves", "copies/{ref}", "rundown", "papers", "today"}
    must |= {"cooling", "labels", "shopping", "count", "sure", "history", "files", "allergens"}
    must |= {"demonstrations/{demonstration}", "today/run/{run}", "today/batch/{batch}"}
    assert must <= set(before)
    warning = f"NOT DECIDED knots-take-1, reveal: {WARNED}"
    assert [page for page, words in before.items() if warning not in words] == []
    decide(client, tasting, knots_day)
    after = pages(client, tasting)
    assert set(after) == set(before)
    assert [page for page, words in after.items() if "NOT DECIDED" in words] == []
    assert "They only look, and do not eat. Ada," in after["allergens"]
    assert "They only look, and do not eat." in after["history"]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_warning_stands_on_every_paper_until_somebody_decides(
    client: TestClient, tasting: int, knots_day: Day, paper: str
) -> None:
    """On each page; labels have it on the last, for each says of itself whom it is not for."""
    address = f"/productions/{tasting}/papers/{paper}.pdf?size=A4"
    before = Opened(client.get(address).content)
    warned = before.pages[-1:] if paper == "labels" else before.pages
    assert all("NOT DECIDED: Teo avoids gluten and is served it" in page for page in warned)
    decide(client, tasting, knots_day)
    after = Opened(client.get(address).content)
    assert len(after.pages) >= 1
    assert "NOT DECIDED" not in after.words
    if paper == "labels":
        assert "Not for Teo: wheat (avoids gluten)" in after.words
    if paper == "allergens":
        assert "They only look, and do not eat." in after.words


def test_one_list_for_several_productions_warns_of_the_people_of_each(
    client: TestClient, tasting: int, knots_day: Day, knots_plan: Plan
) -> None:
    """What is decided in one production decides nothing in its twin."""
    first = stored(knots_day, knots_plan)
    copied = day_with(knots_day).model_copy(update={"title": "The second night"})
    twin = stored(copied, knots_plan.model_copy(update={"day": None}))
    decide(client, tasting, knots_day)
    screen = " ".join(
        words_of(
            client.get(f"/productions/{first}/shopping?with={tasting}&with={twin}").text
        ).split()
    )
    assert screen.count("NOT DECIDED") == 1
    assert f"NOT DECIDED The second night: knots-take-1, reveal: {WARNED} Decide" in screen
    address = f"/productions/{first}/papers/shopping.pdf?size=a4&beside={tasting},{twin}"
    for words in Opened(client.get(address).content).pages:
        assert "NOT DECIDED: Teo avoids gluten and is served it" in words
        assert "The second night" in words
    decide(client, twin, knots_day)
    opened = Opened(client.get(address).content)
    assert "NOT DECIDED" not in opened.words
    assert "names its people: nobody there is checked" in opened.words
