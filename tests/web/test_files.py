"""What goes out of a production in the browser, and comes back in."""

import io
import re
import zipfile

import pytest
from fastapi.testclient import TestClient

from app.exchange.dayfile import load_day, load_plan
from app.exchange.dayzip import dump_day_zip
from app.exchange.incoming import load_any_day
from app.planning.audit import audit
from app.planning.canonical import canonical, fingerprint
from app.planning.day import Day
from tests.live import stored
from tests.web.editing import Editing
from tests.web.test_photographs import photo

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


def _bring(client: TestClient, data: bytes, name: str) -> str:
    files = {"day": (name, data, "application/octet-stream")}
    sent = client.post("/productions", files=files, headers=PART)
    assert sent.status_code == 200, sent.text
    return sent.headers["HX-Redirect"].replace("/rundown", "")


def test_every_link_of_the_screen_is_a_file(client: TestClient, production: int) -> None:
    """With a name that says what it is, to be saved."""
    page = client.get(f"/productions/{production}/files").text
    links = re.findall(r'href="([^"]+/files/[^"]+)"', page)
    assert len(links) == 21
    for link in links:
        file = client.get(link)
        assert file.status_code == 200, link
        assert file.headers["Content-Disposition"].startswith("attachment; ")
        assert len(file.content) > 100


def test_without_a_plan_there_is_no_file_of_it(client: TestClient, knots_day: Day) -> None:
    """The screen says when it comes; an address from elsewhere says so too."""
    here = f"/productions/{stored(knots_day, None)}/files"
    assert "appear here with the first published plan" in client.get(here).text
    for address in ("plan.xlsx", "planned.json"):
        assert client.get(f"{here}/{address}").status_code == 404
    for address in ("count.json", "soup.csv", "production.pdf", "demonstration/soup.csv"):
        assert client.get(f"{here}/{address}").status_code == 404


def test_without_runs_there_is_no_calendar(client: TestClient, knots_day: Day) -> None:
    """The screen says from when on; an address from elsewhere says so instead of an empty file."""
    here = f"/productions/{stored(knots_day.model_copy(update={'runs': ()}), None)}/files"
    page = client.get(here).text
    assert "runs.ics" not in page
    assert "once the <a" in page
    asked = client.get(f"{here}/runs.ics")
    assert asked.status_code == 404
    assert "there are no runs yet" in asked.text


@pytest.mark.parametrize("screen", ["count", "pulls", "pulls?by=beat", "demonstrations/knots"])
def test_each_screen_offers_its_own_files(client: TestClient, production: int, screen: str) -> None:
    """The spreadsheet in both forms and the day file, where the thing itself stands."""
    page = client.get(f"/productions/{production}/{screen}").text
    links = re.findall(r'href="([^"]+/files/[^"]+)"', page)
    assert [link.rpartition(".")[2] for link in links[:3]] == ["xlsx", "csv", "json"]
    for link in links:
        assert client.get(link).headers["Content-Disposition"].startswith("attachment; "), link


def test_the_day_file_beside_a_plan_is_the_one_that_it_is_of(ada: Editing) -> None:
    """Also when the day has changed since: whoever takes both can have them audited."""
    row = ada.id("stages", "baked")
    assert ada.fill(f"stages/{row}", "cost", "7", 1)[0] == 200
    here = f"/productions/{ada.production}/files"
    planned = load_day(ada.client.get(f"{here}/planned.json").content)
    plan = load_plan(ada.client.get(f"{here}/plan.json").content)
    assert plan.day == fingerprint(planned)
    assert planned != load_day(ada.client.get(f"{here}/production.json").content)
    assert audit(planned, plan) == []


@pytest.mark.parametrize("form", ["json", "zip", "xlsx", "csv"])
def test_what_went_out_comes_back_whole(client: TestClient, example_day: Day, form: str) -> None:
    """As another production, equal to the byte in its canonical form."""
    out = client.get(f"/productions/{stored(example_day, None)}/files/production.{form}").content
    back = _bring(client, out, f"studio.{form}")
    assert client.get(f"{back}/day.json").content == canonical(example_day)


@pytest.mark.parametrize("form", ["json", "zip", "xlsx", "csv"])
def test_a_production_in_the_making_comes_back_too(ada: Editing, form: str) -> None:
    """Half of it is not built: it goes on there, with what is missing told beside its field."""
    row = ada.rows().below("stages", ada.id("stages", "scaled"), "ways")[0]["id"]
    assert ada.post("delete", place=f"ways/{row}")[0] == 200
    here = f"/productions/{ada.production}"
    out = ada.client.get(f"{here}/files/production.{form}").content
    back = _bring(ada.client, out, f"studio.{form}")
    assert ada.client.get(f"{back}/day.json").content == ada.client.get(f"{here}/day.json").content
    assert "has no way" in ada.client.get(f"{back}/demonstrations/knots").text


def test_photographs_travel_with_the_day(client: TestClient, knots_day: Day) -> None:
    """Out in a zip, in again under the same names; foreign ones are cleaned on the way in."""
    stage = knots_day.demonstrations[0].stages[0].model_copy(update={"photo": "from phone.png"})
    stages = (stage, *knots_day.demonstrations[0].stages[1:])
    shown = knots_day.demonstrations[0].model_copy(update={"stages": stages})
    day = knots_day.model_copy(update={"demonstrations": (shown,)})
    here = _bring(client, dump_day_zip(canonical(day), {"from phone.png": photo()}), "day.zip")
    out = client.get(f"{here}/files/production.zip").content
    kept = load_day(client.get(f"{here}/day.json").content)
    name = kept.stage("knots", "scaled").photo
    assert zipfile.ZipFile(io.BytesIO(out)).namelist() == ["day.json", f"photographs/{name}"]
    assert load_any_day(out)[0] == kept
    assert client.get(f"{_bring(client, out, 'x')}/files/production.zip").content == out


def test_a_day_with_a_picture_that_is_none_is_refused(client: TestClient, knots_day: Day) -> None:
    """Nothing of it is stored."""
    stage = knots_day.demonstrations[0].stages[0].model_copy(update={"photo": "a.jpg"})
    stages = (stage, *knots_day.demonstrations[0].stages[1:])
    shown = knots_day.demonstrations[0].model_copy(update={"stages": stages})
    day = knots_day.model_copy(update={"demonstrations": (shown,)})
    files = {"day": ("a.zip", dump_day_zip(canonical(day), {"a.jpg": b"none"}), "application/zip")}
    refused = client.post("/productions", files=files, headers=PART)
    assert refused.status_code == 422
    assert "choose a JPEG, PNG, WebP or HEIC" in refused.text
    assert "No production yet" in client.get("/").text


def test_one_demonstration_goes_out_with_what_it_is_made_from(
    client: TestClient, example_day: Day
) -> None:
    """As a day of its own that another production can take it from."""
    here = f"/productions/{stored(example_day, None)}/files"
    for shown in example_day.demonstrations:
        out = client.get(f"{here}/demonstration/{shown.id}.xlsx").content
        assert load_any_day(out)[0].demonstrations[-1] == shown
