"""A reading was mistyped: once it is taken back, so is the loss that it brought; others stay."""

import time
from collections.abc import Callable
from typing import Any

import pytest
from fastapi.testclient import TestClient

from app.storage.engine import reading
from app.storage.log import append
from app.storage.queries.ticks import of_plan, states
from app.storage.states import States
from app.storage.ticks import tick_of
from tests.live import stored
from tests.planning.test_clocks import at, day_with, minute, plan_with
from tests.web.test_clocks import COPY, lost, measured
from tests.web.test_copies import shown
from tests.web.test_crew_pages import words_of

PATIENCE_S = 30


@pytest.fixture
def custard(client: TestClient) -> int:
    """Return a production of three custards, of which Ada has typed one too warm."""
    client.app.state.now_s = lambda: minute("12:00") * 60  # type: ignore[attr-defined]
    production = stored(day_with(), plan_with())
    measured(production, "11:45", 28)
    assert lost(production) is not None
    return production


def tell(production: int, once: str, **says: Any) -> int:
    """Have Ben tell something at noon, and return its number."""
    every = {"at": at("12:00"), "by": "Ben", "once": once}
    return append(production, [tick_of(every | says)])[0]


def number(production: int, event: str) -> int:
    """Return the number of the last event of a kind."""
    with reading() as conn:
        return next(
            each.n or 0 for each in reversed(of_plan(conn, production)) if each.event == event
        )


def until(production: int, holds: Callable[[States], bool]) -> bool:
    """Return whether something holds of what was ticked, once whoever looks has looked."""
    ends = time.monotonic() + PATIENCE_S
    while time.monotonic() < ends:
        with reading() as conn:
            if holds(states(conn, production)):
                return True
        time.sleep(0.02)
    return False


def is_back(production: int, copy: str = COPY) -> bool:
    """Return whether a copy is not lost, or not any more."""
    return until(production, lambda told: copy not in told.lost)


def test_who_takes_a_reading_back_has_its_copy_back(client: TestClient, custard: int) -> None:
    """The plan is as it was, nothing is left to mend, and the record tells all of it."""
    tell(custard, "back", event="undone", undoes=number(custard, "measured"))
    assert is_back(custard)
    with reading() as conn:
        told = states(conn, custard)
    assert (told.unknown, told.measured, told.lost) == ((), (), {})
    words = shown(client, custard, COPY)
    assert "Safe to eat until" in words
    assert "NOT FOR EATING" not in words
    assert "measured 28 °C 11:45, Ada, taken back 12:00, Ben" in words
    assert "lost 11:45, Ada: It cooled too slowly" in words
    assert "slot 2., taken back 12:00, Ben" in words
    page = client.get(f"/productions/{custard}/today").text
    words = " ".join(words_of(page).split())
    assert "Nothing yet: as far as anybody said, all goes as planned." in words
    assert "2 things taken back CU-1, set, is lost: It cooled too slowly" in words
    assert "CU-1, set, was at 28 °C 11:45, Ada; taken back 12:00, Ben." in words


def test_what_somebody_ticked_as_lost_stays_lost(custard: int) -> None:
    """Though readings had told it before: dropped is dropped."""
    tell(custard, "dropped", event="lost", copy=COPY, why="dropped")
    tell(custard, "dropped again", event="lost", copy=COPY, why="dropped")
    tell(custard, "back", event="undone", undoes=number(custard, "measured"))
    assert until(custard, lambda told: told.lost[COPY].why == "dropped" and not told.measured)
    with reading() as conn:
        ticks = of_plan(conn, custard)
    assert [each.event for each in ticks][:4] == ["measured", "lost", "lost", "undone"]
    tell(custard, "found", event="undone", undoes=3)
    assert is_back(custard)


def test_what_another_reading_shows_stays_lost(custard: int) -> None:
    measured(custard, "11:50", 30)
    tell(custard, "back", event="undone", undoes=1)
    assert until(custard, lambda told: len(told.measured) == 1)
    time.sleep(0.3)
    with reading() as conn:
        assert COPY in states(conn, custard).lost


def test_a_reading_that_was_right_after_all_spoils_it_again(custard: int) -> None:
    """An undo can be taken back as well."""
    undo = tell(custard, "back", event="undone", undoes=number(custard, "measured"))
    assert is_back(custard)
    tell(custard, "right", event="undone", undoes=undo)
    gone = lost(custard)
    assert gone is not None
    assert gone.said.by == "Ben"
    assert gone.why.startswith("It cooled too slowly: still 28 °C at 11:45")


def test_a_copy_kept_by_name_is_lost_again_by_a_new_reading_only(
    client: TestClient, custard: int
) -> None:
    """Who says that it is not lost, though the reading stands, is not told otherwise by each tick.

    The copy says all the while that it is not for eating.
    """
    tell(custard, "kept", event="undone", undoes=number(custard, "lost"))
    assert is_back(custard)
    tell(custard, "begun", event="started", batch="b1", at=at("09:00"))
    time.sleep(0.3)
    assert is_back(custard)
    assert "NOT FOR EATING It cooled too slowly" in shown(client, custard, COPY)
    measured(custard, "11:50", 30)
    assert lost(custard) is not None


def test_a_batch_that_was_not_started_early_after_all_is_back(client: TestClient) -> None:
    """Started twenty minutes early by a wrong tap: what that tap spoiled comes back with it."""
    production = stored(day_with(safety_min=320), plan_with())
    said = {"event": "started", "batch": "b1", "at": at("08:40"), "once": "s", "by": "Ada"}
    append(production, [tick_of(said)])
    assert lost(production) is not None
    tell(production, "back", event="undone", undoes=1)
    assert is_back(production)


def test_a_plan_that_was_mended_meanwhile_is_mended_once_more(
    client: TestClient, custard: int
) -> None:
    """The plan without the copy holds: then its coming back is one thing that plan 2 lacks."""
    from app.storage.changes.mended import publish_mended
    from app.storage.engine import writing

    day, plan = day_with(), plan_with()
    (use,) = plan.uses
    without = plan.model_copy(
        update={"uses": (use.model_copy(update={"copies": use.backups, "backups": ()}),)}
    )
    with writing() as conn:
        publish_mended(conn, custard, without, day, told=2, began_from=1, by="Ada", once="accepted")
    tell(custard, "back", event="undone", undoes=1)
    assert is_back(custard)
    with reading() as conn:
        told = states(conn, custard)
    assert [each.event for each in told.unknown] == ["undone"]
    page = client.get(f"/productions/{custard}/today").text
    assert "Plan 2 does not know all that happened" in page
    assert "See what changes" in page
