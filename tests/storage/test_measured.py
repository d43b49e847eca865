"""Readings of a thermometer in the event log."""

import pytest

from app.storage import log
from app.storage.engine import reading
from app.storage.queries.ticks import since, states
from app.storage.ticks import TickRefused, tick_of
from tests.storage.opened import knots, planned, store, tick

__all__ = ["knots", "planned", "store"]
COPY = "knots/baked/13"


def test_a_reading_is_kept_and_comes_back(planned: int) -> None:
    log.append(planned, [tick("measured", "x", copy=COPY, celsius=61.5)])
    with reading() as conn:
        (told,) = states(conn, planned).measured
        (event,) = since(conn, planned)
    assert (told.copy_id, told.celsius) == (COPY, 61.5)
    assert event.says() == {"copy": COPY, "celsius": 61.5}


def test_two_readings_alike_are_two(planned: int) -> None:
    for once in ("x", "y"):
        log.append(planned, [tick("measured", once, copy=COPY, celsius=4)])
    with reading() as conn:
        assert len(states(conn, planned).measured) == 2


def test_a_reading_that_was_taken_back_does_not_count(planned: int) -> None:
    (n,) = log.append(planned, [tick("measured", "x", copy=COPY, celsius=4)])
    log.append(planned, [tick("undone", "y", undoes=n)])
    with reading() as conn:
        assert states(conn, planned).measured == ()


def test_a_reading_does_not_begin_the_plan(planned: int) -> None:
    """Nobody has started anything by holding a probe into it."""
    log.append(planned, [tick("measured", "x", copy=COPY, celsius=4)])
    with reading() as conn:
        assert states(conn, planned).begun == []


def test_an_unknown_copy_is_refused(planned: int) -> None:
    with pytest.raises(TickRefused, match="no copy “knots/baked/99”"):
        log.append(planned, [tick("measured", "x", copy="knots/baked/99", celsius=4)])


@pytest.mark.parametrize("celsius", [-81, 301, float("nan"), float("inf"), "4", True, None])
def test_no_temperature_of_food_is_refused(celsius: object) -> None:
    with pytest.raises(TickRefused, match="celsius"):
        tick_of(
            {"event": "measured", "copy": COPY, "celsius": celsius}
            | {"at": "2027-03-04T11:49", "once": "x", "by": "Ada"}
        )
