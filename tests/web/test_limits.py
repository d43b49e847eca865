"""The limits of the house on a screen: a law, its own copy, and nothing typed is lost."""

import json

import pytest
from fastapi.testclient import TestClient

from app.storage.engine import reading
from app.storage.queries.safety import house
from app.web.limits import FIELDS
from tests.web.test_crew_pages import words_of

ROW = "cold food at most (41 °F) 3-501.16 5 °C"


def sent(client: TestClient, began: dict[str, str] | None = None, **typed: str) -> int:
    """Send the form, and return the status of the answer."""
    law = {"law": "us", "allergens": "us"}
    form = law | {"began": json.dumps(law | (began or {}))}
    answer = client.post("/limits", data=form | typed, follow_redirects=False)
    return int(answer.status_code)


def shown(client: TestClient) -> str:
    """Return the words of the screen."""
    return " ".join(words_of(client.get("/limits").text).split())


def test_every_limit_stands_with_its_section_and_edition(client: TestClient) -> None:
    words = shown(client)
    assert ROW in words
    assert "Food Code 2022" in words
    assert "kept cold, eaten within; the day it is made is day 1 3-501.17 7 days" in words


def test_a_house_puts_its_own_figure_beside_the_law(client: TestClient) -> None:
    assert sent(client, cold_c="4,5", cook_ground_c="set aside") == 303
    with reading() as conn:
        limits = house(conn).limits
    assert (limits.cold_c, limits.cook_ground_c) == (4.5, None)
    assert 'value="4.5"' in client.get("/limits").text
    assert ROW in shown(client)


def test_a_figure_of_the_house_may_be_typed_in_fahrenheit(client: TestClient) -> None:
    """It is kept in °C, to a tenth: a house that works by 40 and 140 °F."""
    assert sent(client, cold_c="40 °F", hot_c="140f", cool_middle_c="21 °C") == 303
    with reading() as conn:
        limits = house(conn).limits
    assert (limits.cold_c, limits.hot_c, limits.cool_middle_c) == (4.4, 60, 21)
    assert sent(client, cold_c="four °F") == 422


def test_another_law_has_its_own_figures(client: TestClient) -> None:
    assert sent(client, law="uk", allergens="eu", part_cooking="yes", room_c="28") == 303
    with reading() as conn:
        told = house(conn)
    assert (told.limits.law, told.limits.cold_c, told.limits.cool_middle_c) == ("uk", 8, None)
    assert (told.allergen_law, told.has_part_cooking, told.room_c) == ("eu", True, 28)
    words = shown(client)
    assert "cold food at most Schedule 4 8 °C" in words
    assert "not in this law none" in words


@pytest.mark.parametrize("typed", ["warm", "-70", "400", "nan", "inf", "1e9"])
def test_what_is_no_temperature_is_told_beside_its_field_and_kept(
    client: TestClient, typed: str
) -> None:
    form = {"law": "us", "allergens": "us", "cold_c": typed, "hot_c": "60"}
    answer = client.post("/limits", data=form)
    assert answer.status_code == 422
    assert "A number from -60 to 300 °C, “set aside”, or nothing." in answer.text
    assert f'value="{typed}"' in answer.text
    assert 'value="60"' in answer.text
    with reading() as conn:
        assert house(conn).limits.hot_c == 57


def test_two_people_change_different_limits(client: TestClient) -> None:
    assert sent(client, cold_c="4") == 303
    assert sent(client, hot_c="60") == 303
    with reading() as conn:
        limits = house(conn).limits
    assert (limits.cold_c, limits.hot_c) == (4, 60)


def test_two_people_change_the_same_limit(client: TestClient) -> None:
    """The second is told, keeps what was typed, and may send it again."""
    assert sent(client, cold_c="4") == 303
    law = {"law": "us", "allergens": "us"}
    answer = client.post("/limits", data=law | {"began": json.dumps(law), "cold_c": "3"})
    assert answer.status_code == 409
    assert "Somebody made this 4 while you typed. Send again for yours." in answer.text
    assert 'value="3"' in answer.text
    assert sent(client, {"cold_c": "4"}, cold_c="3") == 303
    with reading() as conn:
        assert house(conn).limits.cold_c == 3


def test_a_figure_of_its_own_can_be_given_up(client: TestClient) -> None:
    sent(client, cold_c="4")
    assert sent(client, {"cold_c": "4"}, cold_c="") == 303
    with reading() as conn:
        assert house(conn).limits.cold_c == 5


def test_nothing_changed_is_no_change(client: TestClient) -> None:
    assert sent(client) == 303


def test_every_field_has_its_input(client: TestClient) -> None:
    page = client.get("/limits").text
    missing = [field for field in FIELDS if f'name="{field}"' not in page]
    assert missing == []


def test_a_swap_gets_the_part(client: TestClient) -> None:
    part = client.get("/limits", headers={"HX-Request-Type": "partial"}).text
    assert "<html" not in part
    assert 'id="limits"' in part
