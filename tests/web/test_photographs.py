"""Photographs in the browser: taken in, shown with words, taken off, and back again."""

import io
from typing import Any

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from app.planning.day import Day
from app.storage.changes.undo import take_back
from app.storage.engine import reading, writing
from app.storage.translate import day_of
from tests.live import stored

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


def photo(colour: str = "red", kind: str = "PNG") -> bytes:
    """Return a small photograph."""
    made = io.BytesIO()
    Image.new("RGB", (80, 60), colour).save(made, kind)
    return made.getvalue()


@pytest.fixture
def screen(client: TestClient, knots_day: Day) -> str:
    """Return the address of the photographs of the knots."""
    return f"/productions/{stored(knots_day, None)}/demonstrations/knots/photographs"


def _day(screen: str) -> Day:
    with reading() as conn:
        return day_of(conn, int(screen.split("/")[2]))


def _name(screen: str, stage: str = "baked") -> str:
    return _day(screen).stage("knots", stage).photo


def _send(client: TestClient, screen: str, data: bytes, **more: str) -> Any:
    files = {"file": ("IMG_1.HEIC", data, "image/heic")}
    return client.post(f"{screen}/baked", files=files, data=more, headers=PART)


def test_a_photograph_is_kept_and_shown_with_words(client: TestClient, screen: str) -> None:
    """The day names it; the picture is a JPEG that may be kept for ever."""
    assert "No photograph yet" in client.get(screen).text
    assert _send(client, screen, photo(), began="").headers["HX-Redirect"] == screen
    address = f"/productions/1/photographs/{_name(screen)}"
    page = client.get(screen).text
    assert f'src="{address}" alt="Cardamom knots, baked"' in page
    shown = client.get(address)
    assert shown.headers["Content-Type"] == "image/jpeg"
    assert "immutable" in shown.headers["Cache-Control"]
    assert Image.open(io.BytesIO(shown.content)).size == (80, 60)


def test_a_change_of_a_photograph_can_be_taken_back(client: TestClient, screen: str) -> None:
    """Like any other change; so can taking it off."""
    _send(client, screen, photo(), began="")
    first = _name(screen)
    _send(client, screen, photo("blue"), began=first)
    assert _name(screen) != first
    with writing() as conn:
        take_back(conn, 1, 2, by="the producer", once="back")
    assert _name(screen) == first
    client.post(f"{screen}/baked/remove", data={"began": first}, headers=PART)
    assert _name(screen) == ""


def test_two_people_at_the_same_photograph(client: TestClient, screen: str) -> None:
    """The second is told; nothing is overwritten silently."""
    _send(client, screen, photo(), began="")
    refused = _send(client, screen, photo("blue"), began="")
    assert refused.status_code == 409
    assert "changed this photograph meanwhile" in refused.text


@pytest.mark.parametrize("data", [b"", b"GIF89a" + bytes(50), b"<svg/>", photo()[:60]])
def test_what_cannot_be_read_is_refused_beside_its_field(
    client: TestClient, screen: str, data: bytes
) -> None:
    """In a sentence, and nothing is kept."""
    refused = _send(client, screen, data)
    assert refused.status_code == 422
    assert 'id="fault-baked"' in refused.text
    assert "choose a JPEG, PNG, WebP or HEIC" in refused.text
    assert _name(screen) == ""


def test_what_is_not_there_is_told(client: TestClient, screen: str) -> None:
    """A stage, a demonstration, a picture, a file."""
    assert client.get("/productions/1/photographs/photo.jpg").status_code == 404
    assert client.get("/productions/1/photographs/..%2fstagelarder.sqlite").status_code == 404
    assert client.get(screen.replace("knots", "buns")).status_code == 404
    files = {"file": ("a.png", photo(), "image/png")}
    assert client.post(f"{screen}/burnt", files=files, headers=PART).status_code == 404
    none = {"file": ("", b"", "application/octet-stream")}
    assert "Choose a file first." in client.post(f"{screen}/baked", files=none, headers=PART).text


def test_a_name_that_a_day_gives_and_that_is_not_here_is_said(
    client: TestClient, knots_day: Day
) -> None:
    """A day file may have come without its pictures."""
    shown = knots_day.demonstrations[0]
    stages = (shown.stages[0].model_copy(update={"photo": "tart.jpg"}), *shown.stages[1:])
    day = knots_day.model_copy(
        update={"demonstrations": (shown.model_copy(update={"stages": stages}),)}
    )
    page = client.get(f"/productions/{stored(day, None)}/demonstrations/knots/photographs").text
    assert "tart.jpg is not here" in page
    assert "<img" not in page


def test_the_crew_sees_a_photograph_at_once(client: TestClient, production: int) -> None:
    """On the pull list and on each copy, also where the plan is older than the picture."""
    screen = f"/productions/{production}/demonstrations/knots/photographs"
    _send(client, screen, photo(), began="")
    name = _name(screen)
    shown = 'alt="Cardamom knots, baked, as it looks when it is done"'
    for page in ("pulls", "copies/KN-1"):
        text = client.get(f"/productions/{production}/{page}").text
        assert (name in text) is (shown in text)
        assert shown in text or page != "pulls"
    baked = next(copy for copy in _copies(client, production) if copy["stage"] == "baked")
    assert shown in client.get(f"/productions/{production}/copies/{baked['id']}").text


def _copies(client: TestClient, production: int) -> list[dict[str, Any]]:
    plan = client.get(f"/productions/{production}/plan.json").json()
    copies: list[dict[str, Any]] = plan["copies"]
    return copies
