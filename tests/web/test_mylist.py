"""My list: whose it is, and what is on it."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Cook
from app.storage.log import append
from app.storage.ticks import tick_of
from app.web.mylist import whose

CREW = [Cook(id="ada", name="Ada", shifts=()), Cook(id="ben", shifts=())]


def test_who_was_asked_for_is_shown() -> None:
    chosen = whose(CREW, "ben", "Ada")
    assert chosen is not None
    assert chosen.id == "ben"


def test_who_holds_the_phone_is_shown_without_asking() -> None:
    chosen = whose(CREW, "", "Ada")
    assert chosen is not None
    assert chosen.id == "ada"


def test_nobody_known_is_asked() -> None:
    assert whose(CREW, "", "Somebody else") is None
    assert whose(CREW, "zoe", "Ada") is None


def test_whoever_is_nobody_picks_a_name(client: TestClient, production: int) -> None:
    answer = client.get(f"/productions/{production}/list").text
    assert "Whose list?" in answer
    assert 'href="?cook=cook-1"' in answer


def test_a_list_has_what_its_person_does_and_what_is_left_to_them(
    client: TestClient, production: int
) -> None:
    """Resting doughs and the oven are nobody's, so they stand with who is nearest."""
    html = client.get(f"/productions/{production}/list?cook=cook-1").text
    for row in ("job-b2.0", "job-b4.0", "light deck-oven"):
        assert row in html
    assert "job-b8.1" not in html


@pytest.mark.parametrize(("hour", "is_past"), [("13:35", False), ("13:36", True)])
def test_a_reminder_steps_back_when_the_oven_should_be_hot(
    client: TestClient, production: int, hour: str, is_past: bool
) -> None:
    """Nobody ticks it, so it would stay the first of the next things for ever."""
    then = datetime.fromisoformat(f"2027-03-04T{hour}").replace(tzinfo=ZoneInfo("Europe/Lisbon"))
    client.app.state.now_s = then.timestamp  # type: ignore[attr-defined]
    html = client.get(f"/productions/{production}/list?cook=cook-1").text
    done, _, next_things = html.rpartition("</details>")
    assert ("light deck-oven" in next_things) is not is_past
    assert ("1 reminder past" in done) is is_past


def test_what_is_done_steps_back(client: TestClient, production: int) -> None:
    at = {"by": "Ada", "at": "2027-03-04T11:52"}
    append(
        production,
        [
            tick_of({"event": "started", "batch": "b1", "once": "1"} | at),
            tick_of({"event": "staged", "batch": "b1", "once": "2", "lost": []} | at),
        ],
    )
    html = client.get(f"/productions/{production}/list?cook=cook-1").text
    done, _, next_things = html.partition("</details>")
    assert "1 row done" in done
    assert "job-b1.0" in done
    assert "job-b1.0" not in next_things
