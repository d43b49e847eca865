"""A core that was measured too cold, on the screens, and what somebody decides by name."""

import re

import pytest
from fastapi.testclient import TestClient

from app.storage.engine import reading
from app.storage.queries.ticks import states
from app.web.spoiling import look
from tests.live import stored
from tests.planning.test_clocks import day_with, minute, plan_with
from tests.web.test_clocks import COPY, measured
from tests.web.test_copies import shown
from tests.web.test_crew_pages import words_of

COLD = "Its core was 68 °C at 09:31; 74 °C is due (3-401.11"
SAID = {"copy": COPY, "words": "Only shown, nobody eats it.", "by": "Ada"}


@pytest.fixture
def custard(client: TestClient) -> int:
    """Return a production of custards cooked to 74 °C, one of them measured at 68 °C."""
    client.app.state.now_s = lambda: minute("10:45") * 60  # type: ignore[attr-defined]
    production = stored(day_with(cook_to_c=74), plan_with())
    measured(production, "09:31", 68)
    return production


def key_of(client: TestClient, production: int) -> str:
    """Return what the form of the copy's screen decides on."""
    text = client.get(f"/productions/{production}/copies/{COPY}").text
    return re.findall(r'name="key" value="([^"]+)"', text)[0]


def test_it_is_not_for_eating_and_says_what_to_do(client: TestClient, custard: int) -> None:
    words = shown(client, custard, COPY)
    assert f"NOT FOR EATING {COLD}" in words
    assert "Decide by name" in words
    beat = client.get(f"/productions/{custard}/pulls?by=beat").text
    assert "CU-1 is NOT FOR EATING by then." in beat


def test_it_is_not_lost_before_somebody_has_cooked_on(client: TestClient, custard: int) -> None:
    with reading() as conn:
        told = states(conn, custard)
    assert look(custard, told.measured[-1]) == []
    measured(custard, "09:40", 75)
    assert "Not cooked through" not in shown(client, custard, COPY)


def test_somebody_decides_by_name_and_takes_it_back(client: TestClient, custard: int) -> None:
    key = key_of(client, custard)
    address = f"/productions/{custard}/cores"
    answer = client.post(f"{address}/decide", data=SAID | {"key": key, "once": "d"})
    assert answer.status_code == 200
    words = shown(client, custard, COPY)
    assert "Only shown, nobody eats it. Ada" in words
    assert "NOT FOR EATING" not in words
    client.post(f"{address}/undo", data={"copy": COPY, "key": key, "once": "u"})
    assert "NOT FOR EATING" in shown(client, custard, COPY)


def test_without_a_name_nothing_is_decided(client: TestClient, custard: int) -> None:
    said = SAID | {"key": key_of(client, custard), "by": " ", "once": "d"}
    answer = client.post(f"/productions/{custard}/cores/decide", data=said)
    assert answer.status_code == 422
    assert "NOT FOR EATING" in shown(client, custard, COPY)


def test_what_was_measured_again_is_not_decided_on(client: TestClient, custard: int) -> None:
    """The form is older than the reading that it was about."""
    said = SAID | {"key": key_of(client, custard), "once": "d"}
    measured(custard, "09:40", 75)
    answer = client.post(f"/productions/{custard}/cores/decide", data=said)
    assert answer.status_code == 404


@pytest.mark.parametrize("screen", ["board", "count", "shelves", "papers"])
def test_the_warning_stands_on_every_screen_until_somebody_decides(
    client: TestClient, custard: int, screen: str
) -> None:
    address = f"/productions/{custard}/{screen}"
    words = " ".join(words_of(client.get(address).text).split())
    assert f"NOT DECIDED CU-1: {COLD}" in words
    said = SAID | {"key": key_of(client, custard), "once": "d"}
    client.post(f"/productions/{custard}/cores/decide", data=said)
    assert "NOT DECIDED" not in client.get(address).text
