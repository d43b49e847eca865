"""Runs as a calendar: checked line by line against RFC 5545.

Its lines end in CRLF and have 75 octets at most (3.1); texts escape backslash, semicolon, comma and
line end (3.3.11); a time in UTC ends in Z (3.3.5); an event has UID and DTSTAMP (3.6.1).
"""

import re
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings

from app.exchange.calendar import calendar_of
from app.exchange.outgoing import outgoing
from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.reading import Refused, read_day
from tests.rich_days import rich_days
from tests.storage.rich_day import RICH

NOW = datetime(2027, 3, 1, 12, 0, tzinfo=UTC)


def _read(data: bytes) -> list[dict[str, str]]:
    """Return the events of a calendar, read as the standard says."""
    text = data.decode("utf-8")
    assert text.endswith("\r\n")
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    assert "\n" not in text.replace("\r\n", "")
    events: list[dict[str, str]] = []
    for line in text.replace("\r\n ", "").split("\r\n")[:-1]:
        name, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            events.append({})
        elif events:
            plain = re.sub(r"\\(.)", lambda found: {"n": "\n"}.get(found[1], found[1]), value)
            events[-1].setdefault(name, plain)
    return events


def test_each_run_is_an_event_with_its_beats(knots_day: Day) -> None:
    """From second 0 to the end of its last beat; Lisbon keeps UTC in March."""
    first, _ = _read(calendar_of(knots_day, NOW))
    assert first["DTSTART"] == "20270304T140000Z"
    assert first["DTEND"] == "20270304T140700Z"
    assert first["DTSTAMP"] == "20270301T120000Z"
    assert first["SUMMARY"] == "knots-take-1: Cardamom knots (take)"
    assert first["DESCRIPTION"].split("\n") == ["14:00 mix", "14:03 tie", "14:05 reveal"]


def test_a_day_without_runs_is_no_calendar(knots_day: Day) -> None:
    """A calendar holds at least one component (3.6): a file without one is none."""
    day = knots_day.model_copy(update={"runs": ()})
    with pytest.raises(Refused, match="runs: there are no runs yet that a calendar could hold"):
        outgoing("runs", "ics", day, None, NOW)


@settings(max_examples=60, deadline=None)
@given(rich_days())
def test_whatever_runs_are_called_the_calendar_can_be_read(day: Day) -> None:
    """Words with commas, quotes, line ends, letters of many bytes; times over a clock change."""
    events = _read(calendar_of(day, NOW))
    assert len({event["UID"] for event in events}) == len(day.runs)
    for event, run in zip(events, day.runs, strict=True):
        assert event["SUMMARY"].startswith(run.called)
        starts = datetime.strptime(event["DTSTART"], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
        assert starts.timestamp() / 60 == Clock(day.timezone).minute(run.starts)


def test_the_same_run_keeps_its_name() -> None:
    """So that a calendar that is sent again moves the event instead of doubling it."""
    day = read_day(RICH)
    moved = day.model_copy(update={"runs": day.runs[:1]})
    first = _read(calendar_of(day, NOW))[0]
    assert _read(calendar_of(moved, NOW))[0]["UID"] == first["UID"]
