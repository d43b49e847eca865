"""The prep board: days, columns, rows, and what was ticked."""

import json
from collections.abc import Callable
from typing import Any

from fastapi.testclient import TestClient

from app.planning.day import Day
from app.storage.log import append
from app.storage.ticks import tick_of
from app.web.board import nearest
from tests.live import stored

AT = "2027-03-04T11:52"


def board(client: TestClient, production: int, question: str = "") -> str:
    """Return the board as HTML."""
    return client.get(f"/productions/{production}/board{question}").text


def tick(event: str, batch: str, n: int, **more: object) -> object:
    """Return a tick by Ada."""
    return tick_of({"event": event, "batch": batch, "once": f"k{n}", "by": "Ada", "at": AT, **more})


def test_a_column_a_person_and_one_for_ovens_and_waiting(
    client: TestClient, production: int
) -> None:
    html = board(client, production)
    assert '<th scope="col">cook-1</th><th scope="col">Ovens and waiting</th>' in html


def test_the_oven_is_shown_when_it_must_be_lit(client: TestClient, production: int) -> None:
    """It is a reminder and looks like one: no event could say that it was ticked."""
    html = board(client, production)
    row = html.split('<div class="job job-heat"')[1].split('<div class="job ')[0]
    assert "light deck-oven to 200 °C" in row
    assert "hot by <time>13:36</time>" in row
    assert "reminder" in row
    assert "<button" not in row
    assert html.count("reminder") == 1


def test_a_house_with_thermometers_in_fahrenheit_reads_its_ovens_in_it(
    client: TestClient, production: int
) -> None:
    """The setting is the house's, so the rows follow it at once, the same plan or not."""
    assert "light deck-oven to 200 °C" in board(client, production)
    form = {"law": "us", "allergens": "us", "fahrenheit": "yes"}
    client.post("/limits", data=form | {"began": json.dumps({"law": "us", "allergens": "us"})})
    assert "light deck-oven to 390 °F (200 °C)" in board(client, production)


def test_runs_stand_on_the_board(client: TestClient, production: int) -> None:
    assert "On camera: knots-take-1" in board(client, production)


def test_what_was_ticked_is_on_the_board(client: TestClient, production: int) -> None:
    append(production, [tick("started", "b1", 1), tick("staged", "b1", 2, lost=["knots/scaled/5"])])  # type: ignore[list-item]
    assert "staged 11:52, Ada, 1 lost" in board(client, production)


def test_a_batch_of_three_phases_starts_at_the_first_and_is_staged_at_the_last(
    client: TestClient, production: int
) -> None:
    html = board(client, production)
    parts = [
        html.split(f'id="job-b8.{phase}')[1].split("data-part=")[1].split('"')[1]
        for phase in range(3)
    ]
    assert parts == ["first", "", "last"]


def test_the_nearest_day_is_shown() -> None:
    days = ["2027-03-03", "2027-03-04"]
    assert nearest(days, "2027-03-03") == "2027-03-03"
    assert nearest(days, "2026-01-01") == "2027-03-03"
    assert nearest(days, "2028-01-01") == "2027-03-04"


def test_a_board_is_read_with_few_questions_to_the_store(
    client: TestClient, production: int
) -> None:
    """However many rows it has: the plan is one document, the ticks are one query."""
    from sqlalchemy import event

    from app.storage.engine import opened

    asked: list[str] = []

    def hear(*said: object) -> None:
        asked.append(str(said[2]))

    event.listen(opened().reader, "before_cursor_execute", hear)
    board(client, production)
    event.remove(opened().reader, "before_cursor_execute", hear)
    assert 0 < len(asked) <= 13


def test_what_rests_over_night_is_still_on_the_next_day(
    client: TestClient, golden: Callable[[str], Any]
) -> None:
    """A dough goes into the chill in the evening and is out of it in the morning."""
    from app.planning.solve import solve

    day = Day.model_validate(golden("overnight.day.json"))
    plan = solve(day)
    night = next(
        phase
        for batch in plan.batches
        for phase in batch.phases
        if phase.starts[:10] < phase.ends[:10]
    )
    html = board(client, stored(day, plan), f"?day={night.ends[:10]}")
    assert "Still from the day before" in html
    assert "until <time>" in html
