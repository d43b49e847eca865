"""Files of events from anywhere: read with suspicion, told line by line, written back the same."""

import json
import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.exchange.eventfile import dump_events, load_events
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import Refused

Document = dict[str, Any]
SAID: list[Document] = [
    {"event": "started", "batch": "b1"},
    {"event": "staged", "batch": "b1", "lost": ["knots/scaled/2"]},
    {"event": "lost", "copy": "knots/scaled/1", "why": "torn"},
    {"event": "placed", "copy": "knots/scaled/3", "shelf": "rack-1", "level": 2, "slot": 4},
    {"event": "sent", "copies": ["knots/scaled/4"], "run": "knots-take-1", "beat": "mix"},
    {"event": "used", "run": "knots-take-1", "beat": "mix", "copies": ["knots/scaled/4"]},
    {"event": "returned", "copies": ["knots/mixed/4"]},
    {"event": "moved", "run": "knots-take-2", "starts": "2027-03-04T15:45"},
    {
        "event": "added",
        "run": {
            "id": "knots-stills",
            "demonstration": "knots",
            "kind": "stills",
            "starts": "2027-03-04T16:40",
            "beats": ["reveal"],
        },
    },
    {"event": "dropped", "run": "knots-stills"},
    {
        "event": "closed",
        "equipment": "deck-oven",
        "from": "2027-03-04T16:00",
        "to": "2027-03-04T17:00",
    },
    {"event": "absent", "crew": "cook-1", "from": "2027-03-04T15:00", "to": "2027-03-04T17:00"},
    {"event": "measured", "copy": "knots/scaled/4", "celsius": -18.5},
    {"event": "undone", "undoes": 3},
]


def numbered(said: list[Document]) -> list[Document]:
    """Return what is said as whole events, a minute after each other."""
    return [
        {"n": n, "at": f"2027-03-04T14:{n:02}", "once": f"k{n}", "by": "cook-1"} | each
        for n, each in enumerate(said, 1)
    ]


def lines(documents: list[Document]) -> bytes:
    """Return documents as the bytes of a file, a line each."""
    compact = (json.dumps(each, ensure_ascii=False, separators=(",", ":")) for each in documents)
    return b"".join(line.encode("utf-8") + b"\n" for line in compact)


def test_every_event_is_read_and_written_back_byte_by_byte(
    knots_day: Day, knots_plan: Plan
) -> None:
    """The canonical form has the keys in the order of the design and leaves defaults out."""
    whole = lines(numbered(SAID))
    events = load_events(whole, knots_day, knots_plan)
    assert [event.n for event in events] == list(range(1, len(SAID) + 1))
    assert dump_events(events) == whole


def test_defaults_and_blanks_are_not_written(knots_day: Day, knots_plan: Plan) -> None:
    """Nothing lost, no reason: the keys are left out."""
    said = [{"event": "staged", "batch": "b1", "lost": []}]
    spread = b"\r\n  \n" + json.dumps(numbered(said)[0], indent=None).encode() + b"\r\n\n"
    assert dump_events(load_events(spread, knots_day, knots_plan)) == (
        b'{"n":1,"at":"2027-03-04T14:01","once":"k1","by":"cook-1","event":"staged","batch":"b1"}\n'
    )


def test_no_line_is_no_event(knots_day: Day, knots_plan: Plan) -> None:
    """A day begins like this."""
    assert load_events(b"", knots_day, knots_plan) == ()
    assert load_events(b"\n \n", knots_day, knots_plan) == ()


HOSTILE: list[tuple[bytes, str]] = [
    (b" " * 17_000_000, "the file: 17.0 MB are too many; 16 MB at most"),
    (b"{}\n" * 100_001, "the file: 100001 events; 100000 at most, so begin a new file"),
    (b"\xef\xbb\xbf{}", "the file: it starts with a byte order mark"),
    ('{"by": "é"}'.encode("latin-1"), "the file: byte 8 (0xE9) is no UTF-8 text"),
    (random.Random(1).randbytes(1000), "is no UTF-8 text"),
    (b"\n{", "line 2, column 2: the line ends too soon; close what is open"),
    (b'{"n": 1} {}', 'line 1, column 10: "{" makes this no JSON (extra data); mend it there'),
    (b"[" * 5000, "line 1: brackets nest deeper than 40; take the inner ones out"),
    (b"\n\n[]", "line 3: an empty list is no object; write an object in { }"),
    (b"null\n7", "line 2: 7 is no object"),
    (bytes(10), "line 1, column 1"),
]


@pytest.mark.parametrize(("data", "told"), HOSTILE, ids=[told[:40] for _, told in HOSTILE])
def test_hostile_files_are_refused_in_a_sentence(
    data: bytes, told: str, knots_day: Day, knots_plan: Plan
) -> None:
    """Whatever it is, it is no crash."""
    with pytest.raises(Refused) as refused:
        load_events(data, knots_day, knots_plan)
    assert told in str(refused.value)


def test_the_first_hundred_faults_are_told_and_the_rest_counted(
    knots_day: Day, knots_plan: Plan
) -> None:
    """In the order of the lines, whatever the kind of fault."""
    said: list[Document] = [{"event": "started", "batch": "no"}] * 150
    data = lines(numbered(said)[:59]) + b"{\n" + lines([{}] * 50)
    with pytest.raises(Refused) as refused:
        load_events(data, knots_day, knots_plan)
    faults, more = refused.value.faults, refused.value.more
    assert len(faults) == 100
    assert more == 59 + 1 + 50 * 5 - 100
    assert [fault.place for fault in faults[57:61]] == [
        "line 58, batch",
        "line 59, batch",
        "line 60, column 2",
        "line 61, event",
    ]


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=6,
)
KEYS = ("n", "at", "once", "by", "event", "batch", "copies", "copy", "run", "starts", "undoes")


@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_a_damaged_file_is_read_or_refused(
    data: st.DataObject, knots_day: Day, knots_plan: Plan
) -> None:
    """Any value in any place of some events, and any bytes: a sentence, never a crash."""
    documents = numbered(SAID)
    for _ in range(data.draw(st.integers(1, 3))):
        entry = data.draw(st.sampled_from(documents))
        entry[data.draw(st.sampled_from([*KEYS, *entry]))] = data.draw(ANYTHING)
    whole = bytearray(b"".join(json.dumps(each).encode() + b"\n" for each in documents))
    if data.draw(st.booleans()):
        at = data.draw(st.integers(0, len(whole) - 1))
        whole[at] = data.draw(st.integers(0, 255))
    try:
        events = load_events(bytes(whole), knots_day, knots_plan)
    except Refused as refused:
        told = [fault.words for fault in refused.faults]
    else:
        told = ["nothing"]
        assert load_events(dump_events(events), knots_day, knots_plan) == events
    assert told
    assert all(told)
