"""The cooling log: what cools, when it will be cold, and a warning while there is time."""

import pytest
from fastapi.testclient import TestClient

from app.storage.changes.goods import choose
from app.storage.engine import writing
from app.storage.log import append
from app.storage.queries.safety import FAHRENHEIT
from app.storage.ticks import tick_of
from tests.live import stored
from tests.planning.test_clocks import day_with, minute, plan_with
from tests.web.test_clocks import custard, measured
from tests.web.test_crew_pages import words_of

__all__ = ["custard"]
TWO = "custard/set/2"


def shown(client: TestClient, production: int, hour: str = "10:30") -> str:
    """Return the words of the log at an hour."""
    client.app.state.now_s = lambda: minute(hour) * 60  # type: ignore[attr-defined]
    page = client.get(f"/productions/{production}/cooling")
    assert page.status_code == 200
    return " ".join(words_of(page.text).split())


def of_two(words: str) -> str:
    """Return what is said of the second copy."""
    after = words[words.index("CU-2 set") :]
    return after[: after.index("Read CU-2")]


def test_what_cools_says_what_is_due_and_that_nobody_has_read_it(
    client: TestClient, custard: int
) -> None:
    """Off the hob at 09:30."""
    words = of_two(shown(client, custard))
    assert "Counted since 09:30 (3-501.14). Nobody has read it yet." in words
    assert "21 °C by 11:30 , 1 h left: not known yet" in words
    assert "5 °C by 15:30 , 5 h left" in words
    assert "Two readings, some minutes apart" in words


def test_two_readings_tell_when_it_will_be_cold(client: TestClient, custard: int) -> None:
    """By Newton's law in air of 3 °C: 21 °C after ln(57/18) ÷ 0.0157 = 73 minutes.

    It was still over 57 °C at 09:45, so the two hours count from then (Food Code 3-501.14).
    """
    for hour, celsius in (("09:45", 60), ("10:05", 44.6), ("10:30", 31.6)):
        measured(custard, hour, celsius, copy=TWO)
    words = of_two(shown(client, custard))
    assert "Last read 31.6 °C at 10:30" in words
    assert "21 °C by 11:45 , 1 h 15 left: in time, likely at 1" in words
    assert "Act now" not in words


def test_a_house_with_fahrenheit_reads_the_log_in_fahrenheit(
    client: TestClient, custard: int
) -> None:
    """What is due, what was read, and the air that it stands in."""
    with writing() as conn:
        choose(conn, {FAHRENHEIT: "yes"}, by="Ada", once="c")
    measured(custard, "09:45", 60, copy=TWO)
    words = shown(client, custard)
    assert "70 °F by 11:45" in of_two(words)
    assert "Last read 140 °F at 09:45" in of_two(words)
    assert "in air of 37 °F;" in words
    assert "°C" not in words


def test_what_cools_too_slowly_is_warned_of_while_there_is_time(
    client: TestClient, custard: int
) -> None:
    for hour, celsius in (("09:45", 56), ("10:05", 52), ("10:30", 48)):
        measured(custard, hour, celsius, copy=TWO)
    words = shown(client, custard)
    assert "too late as it goes" in of_two(words)
    assert "Act now: shallow pans" in of_two(words)
    assert words.index("CU-2") < words.index("CU-1")


def test_what_has_cooled_too_slowly_is_not_for_eating(client: TestClient, custard: int) -> None:
    """A spare that nobody eats: it stays in the plan, and the log says what it is."""
    three = "custard/set/3"
    measured(custard, "11:45", 28, copy=three)
    words = shown(client, custard, "12:00")
    assert "NOT FOR EATING It cooled too slowly: still 28 °C at 11:45" in words


def test_what_is_cold_is_gone_from_the_log(client: TestClient, custard: int) -> None:
    measured(custard, "11:00", 20, copy=TWO)
    measured(custard, "12:30", 4.5, copy=TWO)
    assert "CU-2" not in shown(client, custard, "12:31")


def test_what_is_lost_is_gone_from_the_log(client: TestClient, custard: int) -> None:
    said = {"event": "lost", "copy": TWO, "why": "dropped", "by": "Ada"}
    append(custard, [tick_of(said | {"at": "2027-03-04T10:00", "once": "l"})])
    assert "CU-2" not in shown(client, custard)


@pytest.mark.parametrize("hour", ["09:00", "16:30"])
def test_before_and_after_nothing_of_the_tasting_cools(
    client: TestClient, custard: int, hour: str
) -> None:
    words = shown(client, custard, hour)
    assert ("CU-1" in words) is False


def test_without_anything_that_cools_it_says_what_comes_here(client: TestClient) -> None:
    production = stored(day_with(needs_temperature_control=False), plan_with())
    assert "Nothing cools just now" in shown(client, production)


def test_before_the_first_plan_it_says_so(client: TestClient) -> None:
    production = stored(day_with(), None)
    assert "No plan is published yet" in shown(client, production)


def test_the_picture_says_the_same_in_words(client: TestClient, custard: int) -> None:
    measured(custard, "09:45", 60, copy=TWO)
    client.app.state.now_s = lambda: minute("10:30") * 60  # type: ignore[attr-defined]
    page = client.get(f"/productions/{custard}/cooling").text
    assert "Read: 60 °C at 09:45. Due: 21 °C by 11:45, 5 °C by 15:45." in page
