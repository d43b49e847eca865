"""Clocks and readings on the Copy screen, and copies that a reading spoils."""

import queue
import threading
import time
from typing import Any

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.tasks import tags_in_words
from app.storage import news
from app.storage.changes.goods import choose
from app.storage.engine import reading, writing
from app.storage.log import append
from app.storage.queries.safety import FAHRENHEIT
from app.storage.queries.ticks import states
from app.storage.states import LostCopy
from app.storage.ticks import AnyTick, Lost, tick_of
from app.web import spoiling
from app.web.following import marks_of
from tests.live import stored
from tests.paper.opened import Opened
from tests.planning.test_clocks import at, day_with, minute, plan_with
from tests.web.test_copies import shown
from tests.web.test_crew_pages import words_of

COPY = "custard/set/1"


@pytest.fixture
def custard(client: TestClient) -> int:
    """Return a production of three custards, at noon of their day."""
    client.app.state.now_s = lambda: minute("12:00") * 60  # type: ignore[attr-defined]
    return stored(day_with(), plan_with())


def measured(production: int, hour: str, celsius: float, copy: str = COPY) -> None:
    """Have Ada measure a copy."""
    said: dict[str, Any] = {"event": "measured", "copy": copy, "celsius": celsius, "by": "Ada"}
    append(production, [tick_of(said | {"at": at(hour), "once": f"{copy} {hour}"})])


def lost(production: int, copy: str = COPY) -> LostCopy | None:
    """Return whether a copy is lost, once whoever looks has looked."""
    until = time.monotonic() + 30
    while time.monotonic() < until:
        with reading() as conn:
            found = states(conn, production).lost.get(copy)
        if found:
            return found
        time.sleep(0.02)
    return None


def test_a_copy_says_until_when_it_is_safe_and_what_must_be_cold(
    client: TestClient, custard: int
) -> None:
    words = shown(client, custard, COPY)
    assert "Safe to eat until Sat 6 March, 10:40" in words
    assert "While it cools: 21 °C by 11:30 past , then 5 °C by 15:30" in words


def test_a_reading_is_listed_with_who_took_it(client: TestClient, custard: int) -> None:
    measured(custard, "11:10", 20)
    words = shown(client, custard, COPY)
    assert "20 °C 11:10, Ada" in words
    assert "While it cools: 5 °C by 15:30" in words
    assert "measured 20 °C 11:10, Ada" in words


def test_a_house_with_fahrenheit_reads_and_asks_in_fahrenheit(
    client: TestClient, custard: int
) -> None:
    with writing() as conn:
        choose(conn, {FAHRENHEIT: "yes"}, by="Ada", once="c")
    measured(custard, "11:10", 20)
    words = shown(client, custard, COPY)
    assert "68 °F 11:10, Ada" in words
    assert "measured 68 °F 11:10, Ada" in words
    assert "What the thermometer in it shows, °F" in words


def test_what_cooled_too_slowly_is_lost_and_the_next_best_is_named(
    client: TestClient, custard: int
) -> None:
    measured(custard, "11:45", 28)
    gone = lost(custard)
    assert gone is not None
    assert gone.said.by == "Ada"
    assert gone.why == (
        "It cooled too slowly: still 28 °C at 11:45; 21 °C was due by 11:30 (3-501.14). "
        "Next best: CU-2, fridge, level 1, slot 2."
    )
    words = shown(client, custard, COPY)
    assert "NOT FOR EATING It cooled too slowly" in words
    assert "lost 11:45, Ada: It cooled too slowly" in words


def test_ticks_that_come_while_one_is_looked_at_are_looked_at_together(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Looking reads the whole log: once a tick would take the time of those who tick."""
    may_go_on, seen = threading.Event(), queue.SimpleQueue[str]()

    def look(_: int, told: AnyTick) -> list[Lost]:
        seen.put(told.once)
        may_go_on.wait(5)
        return []

    monkeypatch.setattr(spoiling, "look", look)
    ticks = [
        tick_of({"event": "started", "batch": "b1", "at": at("09:00"), "by": "Ada", "once": key})
        for key in ("first", "second", "third", "last")
    ]
    spoiling.heard(news.News(1, "ticks", 1, (ticks[0],)))
    assert seen.get(timeout=5) == "first"
    for n, tick in enumerate(ticks[1:], 2):
        spoiling.heard(news.News(1, "ticks", n, (tick,)))
    may_go_on.set()
    assert seen.get(timeout=5) == "last"
    with pytest.raises(queue.Empty):
        seen.get(timeout=0.2)


def test_a_copy_that_nobody_eats_stays_in_the_plan(client: TestClient, custard: int) -> None:
    """The third is extra for losses: too warm, not for eating, and good to look at."""
    measured(custard, "11:45", 28, copy="custard/set/3")
    measured(custard, "11:46", 28)
    assert lost(custard) is not None
    with reading() as conn:
        assert "custard/set/3" not in states(conn, custard).lost
    assert "NOT FOR EATING" in shown(client, custard, "custard/set/3")


def test_a_reading_that_is_sent_by_a_phone_is_stored(client: TestClient, custard: int) -> None:
    tick = {"event": "measured", "copy": COPY, "celsius": 4.5, "once": "p1", "by": "Ben"}
    answer = client.post(f"/productions/{custard}/ticks", json=[tick])
    assert answer.json()["answers"][0].get("n") == 1
    with reading() as conn:
        (told,) = states(conn, custard).measured
    assert (told.celsius, told.by) == (4.5, "Ben")


@pytest.mark.parametrize("celsius", [900, "warm", None])
def test_a_reading_that_is_none_is_told(client: TestClient, custard: int, celsius: object) -> None:
    tick = {"event": "measured", "copy": COPY, "celsius": celsius, "once": "p1"}
    answer = client.post(f"/productions/{custard}/ticks", json=[tick])
    assert "celsius" in answer.json()["answers"][0]["error"]


def test_a_batch_that_was_started_early_is_counted_from_then(
    client: TestClient, custard: int
) -> None:
    """Started twenty minutes early and ticked staged late: the clock starts early."""
    said = {"by": "Ada", "once": "s"}
    started = tick_of({"event": "started", "batch": "b1", "at": at("08:40")} | said)
    staged = tick_of(
        {"event": "staged", "batch": "b1", "at": at("11:00"), "by": "Ada", "once": "t"}
    )
    append(custard, [started, staged])
    assert "21 °C by 11:10" in shown(client, custard, COPY)


def test_people_stand_on_the_copies_that_come_to_them(
    client: TestClient, knots_day: Day, knots_plan: Plan
) -> None:
    document = knots_day.model_dump(mode="json", by_alias=True)
    document["runs"][0]["people"] = [{"name": "Teo", "avoids": ["nuts"]}]
    almonds = {"name": "marzipan", "contains": ["almonds"]}
    document["demonstrations"][0]["stages"][0]["ingredients"] = [almonds]
    words = shown(client, stored(Day.model_validate(document), knots_plan), "knots/baked/1")
    assert "Not for Teo: almonds (avoids nuts)" in words
    assert "The people that the runs name are checked" in words


def pulled(client: TestClient, production: int, by: str) -> str:
    """Return the words of the pull list."""
    page = client.get(f"/productions/{production}/pulls?by={by}").text
    return " ".join(words_of(page).split())


def test_the_pull_list_says_until_when_a_batch_may_be_eaten(
    client: TestClient, custard: int
) -> None:
    assert "Safe to eat until Sat 6 March, 10:40" in pulled(client, custard, "stage")
    measured(custard, "11:45", 28)
    words = pulled(client, custard, "stage")
    assert "CU-1: NOT FOR EATING: It cooled too slowly" in words
    assert f"{tags_in_words(['CU-2', 'CU-3'])}: Safe to eat until" in words


def test_the_pull_list_says_once_that_a_stage_is_not_for_eating(
    client: TestClient, production: int
) -> None:
    words = pulled(client, production, "stage")
    assert words.count("NOT FOR EATING at this stage") == 5


def test_the_pull_list_of_a_beat_names_a_copy_that_may_not_be_eaten(client: TestClient) -> None:
    """The plan itself chills it too late; nobody has measured, so nothing is lost yet."""
    phases = [("09:00", "09:30"), ("09:30", "12:40"), ("12:40", "13:40")]
    client.app.state.now_s = lambda: minute("09:00") * 60  # type: ignore[attr-defined]
    production = stored(day_with(), plan_with(phases))
    words = pulled(client, production, "beat")
    assert "CU-1 is NOT FOR EATING by then. Its time was over at 13:30" in words
    assert "No other copy can be eaten in its place." in words


def test_the_pull_list_of_a_beat_says_whom_it_touches(
    client: TestClient, knots_day: Day, knots_plan: Plan
) -> None:
    document = knots_day.model_dump(mode="json", by_alias=True)
    document["runs"][0]["people"] = [{"name": "Teo", "avoids": ["nuts"]}]
    almonds = {"name": "marzipan", "contains": ["almonds"]}
    document["demonstrations"][0]["stages"][0]["ingredients"] = [almonds]
    production = stored(Day.model_validate(document), knots_plan)
    words = pulled(client, production, "beat")
    assert words.count("Teo avoids nuts: almonds from marzipan.") == 3


def test_a_batch_that_was_started_too_early_is_lost_by_its_tick(client: TestClient) -> None:
    """Safe for 5 h 20 from 10:40, eaten at 16:00; started twenty minutes early it is not."""
    production = stored(day_with(safety_min=320), plan_with())
    said = {"event": "started", "batch": "b1", "at": at("08:40"), "once": "s", "by": "Ada"}
    append(production, [tick_of(said)])
    gone = lost(production)
    assert gone is not None
    assert gone.why.startswith("Its time was over at 15:40, by the day's own limit.")


def test_a_tick_that_the_clocks_count_from_changes_what_the_pull_list_follows(
    custard: int,
) -> None:
    """One that is as planned does not: the list need not be drawn anew for each tick."""
    first = marks_of(custard)
    said = {"by": "Ada", "event": "started", "batch": "b1"}
    append(custard, [tick_of(said | {"at": at("09:00"), "once": "as planned"})])
    assert marks_of(custard)["late"] == first["late"]
    append(custard, [tick_of({"event": "undone", "undoes": 1, "at": at("09:00"), "once": "u"} |
                             {"by": "Ada"})])  # fmt: skip
    append(custard, [tick_of(said | {"at": at("08:50"), "once": "early"})])
    assert marks_of(custard)["late"] != first["late"]


@pytest.mark.parametrize(
    ("readings", "screen", "label"),
    [
        ([], "Write on its label: thrown away at 13:30", "time as control 13:30"),
        (
            [("10:35", 4), ("11:30", 15)],
            "Write on its label: out since 10:40 , thrown away at 16:40",
            "time as control 10:40 and 16:40",
        ),
    ],
)
def test_time_as_the_control_has_one_or_two_times_on_the_label(
    client: TestClient, readings: list[tuple[str, float]], screen: str, label: str
) -> None:
    """Food Code 3-501.19: 4 h out with one time; 6 h, measured cold and never warm, with two."""
    client.app.state.now_s = lambda: minute("12:00") * 60  # type: ignore[attr-defined]
    production = stored(day_with(zone="ambient"), plan_with())
    for hour, celsius in readings:
        measured(production, hour, celsius)
    assert screen in shown(client, production, COPY)
    sheet = client.get(f"/productions/{production}/papers/labels.pdf?size=A4").content
    assert label in Opened(sheet).words
