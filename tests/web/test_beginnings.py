"""A new demonstration in the browser: each way shows first what it becomes, then adds it."""

import json
import re
from collections.abc import Sequence
from typing import Any
from urllib.parse import urlsplit

import pytest
from fastapi.testclient import TestClient

from app.exchange.dayzip import dump_day_zip
from app.exchange.outgoing import day_of_one
from app.exchange.separated import dump_separated
from app.exchange.spreadsheet import sheets_of
from app.exchange.workbook import dump_workbook
from app.planning.canonical import canonical
from app.planning.day import Day, Demonstration
from app.storage.changes.demonstrations import named
from app.storage.engine import reading
from app.storage.translate import day_of
from tests.exchange.test_breakdown import HEADS, ROWS
from tests.exchange.test_recipe import BUNS
from tests.live import stored
from tests.web.test_photographs import photo

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


@pytest.fixture
def here(client: TestClient, knots_day: Day) -> str:
    """Return the address of the ways to begin, in a production without a plan."""
    return f"/productions/{stored(knots_day, None)}/begin"


def _day(here: str) -> Day:
    with reading() as conn:
        return day_of(conn, int(here.split("/")[2]))


def _csv() -> bytes:
    from app.exchange.sheets import Sheet

    return dump_separated([Sheet("S", (HEADS, *ROWS))])


def _bring(client: TestClient, here: str, kind: str, data: bytes, name: str) -> Any:
    files = {"file": (name, data, "application/octet-stream")}
    return client.post(f"{here}/{kind}", files=files, headers=PART)


def test_the_ways_to_begin_are_shown(client: TestClient, here: str) -> None:
    """Seven skeletons, other productions, a recipe, a spreadsheet."""
    page = client.get(here).text
    assert len(re.findall(r"/begin/skeleton/", page)) == 7
    assert "There is no other production" in page
    assert 'name="text"' in page


def test_a_skeleton_marks_its_times_and_is_added_under_a_name(
    client: TestClient, here: str
) -> None:
    """What it becomes is shown first; what this kitchen lacks for it is told beside it."""
    page = client.get(f"{here}/skeleton/batter").text
    assert "(common practice)" in page
    assert page.count("(common practice)") == 8
    assert "Before it can be planned here" in page
    assert len(_day(here).demonstrations) == 1
    form = {"title": "Buckwheat pancakes", "once": "one"}
    sent = client.post(f"{here}/skeleton/batter", data=form, headers=PART)
    assert sent.headers["HX-Redirect"].endswith("/demonstrations/buckwheat-pancakes")
    again = client.post(f"{here}/skeleton/batter", data=form, headers=PART)
    assert again.headers["HX-Redirect"] == sent.headers["HX-Redirect"]
    assert [each.title for each in _day(here).demonstrations] == [
        "Cardamom knots",
        "Buckwheat pancakes",
    ]


def test_a_name_is_needed(client: TestClient, here: str) -> None:
    """And may not be endless."""
    for title in ("", "x" * 121):
        refused = client.post(f"{here}/skeleton/batter", data={"title": title}, headers=PART)
        assert refused.status_code == 422
    assert client.get(f"{here}/skeleton/soup").status_code == 404


def test_a_demonstration_of_an_earlier_production_brings_what_it_is_made_from(
    client: TestClient, here: str, example_day: Day
) -> None:
    """The studio's noodles come with their broth."""
    other = stored(example_day, None)
    assert f"{here}/earlier/{other}" in client.get(here).text
    assert example_day.demonstrations[0].title in client.get(f"{here}/earlier/{other}").text
    shared = next(
        shown.id
        for shown in example_day.demonstrations
        for stage in shown.stages
        if any(entry.demonstration for entry in stage.takes)
    )
    page = client.get(f"{here}/earlier/{other}/{shared}").text
    assert "Add 2 demonstrations" in page
    sent = client.post(f"{here}/earlier/{other}/{shared}", headers=PART)
    assert sent.headers["HX-Redirect"].endswith(f"/demonstrations/{shared}")
    assert len(_day(here).demonstrations) == 3
    assert client.get(f"{here}/earlier/{other}/nothing").status_code == 404
    assert client.get(f"{here}/earlier/99").status_code == 404


@pytest.mark.parametrize("way", ["pasted", "file"])
def test_a_recipe_is_looked_at_before_it_is_added(client: TestClient, here: str, way: str) -> None:
    """What was put in and what could not be read stand beside it; a reload finds it again."""
    recipe = json.dumps(BUNS)
    if way == "pasted":
        sent = client.post(f"{here}/recipe", data={"text": recipe}, headers=PART)
    else:
        sent = _bring(client, here, "recipe", recipe.encode(), "buns.json")
    there = sent.headers["HX-Redirect"]
    page = client.get(there).text
    assert "Could not be read" in page
    assert "<li>nutrition</li>" in page
    assert "baked: 60 min is a guess at how long it keeps." in page
    assert len(_day(here).demonstrations) == 1
    client.post(there, data={"title": "Buns", "once": "x"}, headers=PART)
    assert _day(here).demonstrations[1].title == "Buns"


def test_a_refused_recipe_keeps_what_was_pasted(client: TestClient, here: str) -> None:
    """Beside the field, with the place and the mend."""
    refused = client.post(f"{here}/recipe", data={"text": '{"@type": "Recipe"'}, headers=PART)
    assert refused.status_code == 422
    assert "ends too soon" in refused.text
    assert "{&#34;@type&#34;: &#34;Recipe&#34;</textarea>" in refused.text
    assert client.post(f"{here}/recipe", data={"text": " "}, headers=PART).status_code == 422


def test_columns_of_a_spreadsheet_are_guessed_and_can_be_said(
    client: TestClient, here: str
) -> None:
    """The preview follows; nothing is stored until it is added, as it was shown."""
    sent = _bring(client, here, "sheet", _csv(), "Autumn.csv")
    there = sent.headers["HX-Redirect"]
    page = client.get(there).text
    assert "Fig tart" in page
    assert "Add 2 demonstrations" in page
    assert '<option value="keeps" selected>' in page
    assert len(_day(here).demonstrations) == 1
    path, query = urlsplit(there).path, urlsplit(there).query
    part = client.get(f"{path}?{query}&head=1&sheet=0&was=0&c0=&c1=stage", headers=PART).text
    assert "What it is called" in part
    assert 'value="Autumn"' in part
    added = re.search(r'hx-post="([^"]+)"', part)
    assert added is not None
    address = added[1].replace("&amp;", "&")
    client.post(address, data={"title": "Autumn", "once": "y"}, headers=PART)
    assert _day(here).demonstrations[1].title == "Autumn"
    client.post(there, data={"once": "z"}, headers=PART)
    assert len(_day(here).demonstrations) == 4


@pytest.mark.parametrize("write", [dump_workbook, dump_separated])
def test_a_spreadsheet_of_this_program_needs_no_saying(
    client: TestClient, here: str, example_day: Day, write: Any
) -> None:
    """Its demonstrations come whole."""
    sent = _bring(client, here, "sheet", write(sheets_of(example_day)), "x")
    page = client.get(sent.headers["HX-Redirect"]).text
    assert "Holds</th>" not in page
    client.post(sent.headers["HX-Redirect"], data={"once": "w"}, headers=PART)
    assert _day(here).demonstrations[1:] == example_day.demonstrations


@pytest.mark.parametrize("form", ["xlsx", "csv", "json", "zip"])
def test_one_demonstration_goes_from_one_production_to_another(
    client: TestClient, here: str, example_day: Day, form: str
) -> None:
    """Out of one, into the other, with what it is made from: as it was, whichever it is."""
    other = stored(example_day, None)
    for shown in example_day.demonstrations:
        before = len(_day(here).demonstrations)
        out = client.get(f"/productions/{other}/files/demonstration/{shown.id}.{form}").content
        there = _bring(client, here, "sheet", out, f"x.{form}").headers["HX-Redirect"]
        assert "To be completed" not in client.get(there).text
        assert client.post(there, data={"once": shown.id}, headers=PART).status_code == 200
        alone = day_of_one(example_day, shown.id).demonstrations
        assert _without_ids(_day(here).demonstrations[before:]) == _without_ids(alone)
        assert client.post(here.replace("/begin", "/edit/undo"), headers=PART).status_code == 200


def _without_ids(demonstrations: Sequence[Demonstration]) -> list[Demonstration]:
    """Return demonstrations told by their order: an id that is taken here becomes another."""
    order = {each.id: str(n) for n, each in enumerate(demonstrations)}
    return [named(each, order) for each in demonstrations]


def test_a_photograph_comes_with_its_demonstration(
    client: TestClient, here: str, knots_day: Day
) -> None:
    """It is cleaned like any other; one that is none is refused and nothing is added."""
    stage = knots_day.demonstrations[0].stages[0].model_copy(update={"photo": "from phone.png"})
    stages = (stage, *knots_day.demonstrations[0].stages[1:])
    shown = knots_day.demonstrations[0].model_copy(update={"stages": stages})
    day = canonical(knots_day.model_copy(update={"demonstrations": (shown,)}))
    for picture, status in ((b"none", 422), (photo(), 200)):
        packed = dump_day_zip(day, {"from phone.png": picture})
        there = _bring(client, here, "sheet", packed, "x.zip").headers["HX-Redirect"]
        assert client.post(there, data={"once": f"{status}"}, headers=PART).status_code == status
    (_, added) = _day(here).demonstrations
    name = added.stages[0].photo
    assert name.endswith(".jpg")
    assert client.get(here.replace("begin", f"photographs/{name}")).status_code == 200


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("sheet", b"PK\x03\x04broken"),
        ("sheet", b"\0\0\0"),
        ("sheet", b"Sheet,Production\r\nTitle\r\nx\r\n\r\nSheet,Ways\r\nStage\r\nx\r\n"),
        ("recipe", b"<html>nothing</html>"),
        ("recipe", b"[" * 9000),
    ],
)
def test_rubbish_is_refused_beside_its_field(
    client: TestClient, here: str, kind: str, data: bytes
) -> None:
    """And nothing of it is kept."""
    refused = _bring(client, here, kind, data, "x")
    assert refused.status_code == 422
    assert f'id="{kind}-fault"' in refused.text
    assert "Nothing of it was stored" in refused.text


def test_what_was_brought_long_ago_is_gone(client: TestClient, here: str) -> None:
    """With a sentence that says what now; names lead nowhere else."""
    for name in ("a" * 32, "A" * 32, "stagelarder.sqlite", "%2e%2e%2fx"):
        gone = client.get(f"{here}/recipe/{name}")
        assert gone.status_code == 404
    assert "Bring it again" in client.get(f"{here}/recipe/{'a' * 32}").text


@pytest.mark.parametrize("query", ["sheet=99", "head=99999", "head=-1", "c0=zzz", "c0=x&c99=does"])
def test_nonsense_in_the_address_is_read_as_far_as_it_goes(
    client: TestClient, here: str, query: str
) -> None:
    """Somebody may have edited it."""
    there = _bring(client, here, "sheet", _csv(), "a.csv").headers["HX-Redirect"]
    assert client.get(f"{there}&{query}").status_code == 200


def test_what_was_begun_is_taken_back_like_any_other_change(client: TestClient, here: str) -> None:
    """By the button of the editor, all of it at once; and made again."""
    there = _bring(client, here, "sheet", _csv(), "a.csv").headers["HX-Redirect"]
    client.post(there, data={"once": "q"}, headers=PART)
    assert len(_day(here).demonstrations) == 3
    edit = here.replace("/begin", "/edit")
    assert client.post(f"{edit}/undo", headers=PART).status_code == 200
    assert len(_day(here).demonstrations) == 1
    assert client.post(f"{edit}/redo", headers=PART).status_code == 200
    assert len(_day(here).demonstrations) == 3


def test_what_cannot_be_planned_here_is_told_as_the_editors_tell_it(
    client: TestClient, here: str, knots_day: Day
) -> None:
    """An empty kitchen in one sentence; amounts whole, in the words of a screen."""
    shown = client.get(f"{here}/skeleton/frozen").text
    assert "needs equipment of the kind “hob”, and there is none" in shown
    bare = knots_day.kitchen.model_copy(update={"equipment": (), "crew": ()})
    empty = stored(knots_day.model_copy(update={"kitchen": bare}), None)
    shown = client.get(f"/productions/{empty}/begin/skeleton/frozen").text
    assert "The kitchen: It is empty yet, and" in shown
    assert "can ever run" not in shown
    told = {"@type": "Recipe", "recipeIngredient": ["1 lb 2 oz rye flour", "Salt, to taste"]}
    sent = _bring(client, here, "recipe", json.dumps(told).encode(), "x.json")
    looked = client.get(urlsplit(sent.headers["HX-Redirect"]).path).text
    assert "<strong>1.125 lb</strong> rye flour" in looked
    assert "Salt to taste" in looked
