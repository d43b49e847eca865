"""Files that mean harm, or were harmed: refused soon and in a sentence, never a crash."""

import copy
import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.exchange import suspicion
from app.exchange.dayfile import dump_plan, load_day, load_plan
from app.planning.canonical import canonical
from app.planning.day import Day
from app.planning.reading import Refused
from tests.planning.whole_day import changed, whole_day

GOLDEN = Path(__file__).parents[1] / "golden"
KEEPS = b'"keeps_min": 240'


def _bytes(document: object) -> bytes:
    return json.dumps(document, ensure_ascii=False).encode("utf-8")


def _with(value: bytes) -> bytes:
    """Return the whole day with some bytes in the place of a keeping time."""
    whole = _bytes(whole_day())
    assert whole.count(KEEPS) == 1
    return whole.replace(KEEPS, b'"keeps_min": ' + value)


def _many_runs() -> bytes:
    run = {"demonstration": "jam", "starts": "2027-03-04T15:00"}
    runs = [{"id": f"r{number}", **run} for number in range(200_000)]
    return json.dumps(changed(whole_day(), {"runs": runs}), separators=(",", ":")).encode("utf-8")


def _many_stages() -> bytes:
    """Return about twelve megabytes in which nothing else is wrong."""
    stages = [{"id": f"s{number}", "keeps_min": 1} for number in range(380_000)]
    return _with_stages(stages)


def _many_levels() -> bytes:
    """Return about fourteen megabytes of shelves in one unit."""
    levels = {"kitchen.shelves[0].levels": [1] * 7_000_000}
    return json.dumps(changed(whole_day(), levels), separators=(",", ":")).encode("utf-8")


def _many_doubled() -> bytes:
    """Return nine megabytes of objects in which a key stands twice."""
    return b'{"runs": [], "stock": [' + b'{"a": 1, "a": 1}, ' * 500_000 + b"{}]}"


def _many_shifts() -> bytes:
    """Return four megabytes of shifts that all overlap, as many as may be."""
    shifts = [
        [f"2027-03-{1 + at // 1440:02}T{at // 60 % 24:02}:{at % 60:02}", "2028-03-04T08:00"]
        for at in range(31 * 1440)
    ]
    return _bytes(changed(whole_day(), {"kitchen.crew[0].shifts": shifts * 2}))


def _many_shelves() -> bytes:
    """Return three megabytes of shelves in a zone that is not there, as many as may be."""
    shelves = [{"id": f"s{at}", "zone": "larder", "levels": [4]} for at in range(58_000)]
    return _bytes(changed(whole_day(), {"kitchen.shelves": shelves}))


def _with_stages(stages: list[dict[str, Any]]) -> bytes:
    day = changed(whole_day(), {"demonstrations[1].stages": stages})
    return json.dumps(day, separators=(",", ":")).encode("utf-8")


def _rubbish() -> bytes:
    return random.Random(1).randbytes(1_000_000)


HOSTILE: list[tuple[str, Callable[[], bytes], str, str]] = [
    ("fifty megabytes", lambda: b" " * 50_000_000, "the file", "50.0 MB are too many; 16 MB at"),
    ("binary rubbish", _rubbish, "the file", "is no UTF-8 text; save it as JSON in UTF-8"),
    ("zeros", lambda: bytes(1000), "line 1, column 1", "makes this no JSON"),
    ("Latin-1", lambda: '{"title": "café"}'.encode("latin-1"), "the file", "byte 14 (0xE9) is no"),
    ("UTF-16", lambda: '{"title": 1}'.encode("utf-16"), "the file", "byte 0 (0xFF) is no UTF-8"),
    ("byte order mark", lambda: b"\xef\xbb\xbf{}", "the file", "it starts with a byte order mark"),
    ("nothing", lambda: b"", "the file", "it is empty; a file holds one JSON object in { }"),
    ("blanks", lambda: b" \n\t ", "the file", "it is empty; a file holds one JSON object in { }"),
    ("a list", lambda: b"[1, 2]", "the file", "a list is no object; write an object in { }"),
    ("a text", lambda: b'"day/1"', "the file", '"day/1" is no object; write an object in { }'),
    ("null", lambda: b"null", "the file", "null is no object; write an object in { }"),
    ("deep lists", lambda: b"[" * 5_000_000, "the file", "brackets nest deeper than 40; take the"),
    ("deep and closed", lambda: b"[" * 500 + b"]" * 500, "the file", "brackets nest deeper than"),
    ("deep objects", lambda: b'{"a":' * 3_000_000, "the file", "brackets nest deeper than 40"),
    (
        "deep behind texts",
        lambda: b'["\\"]]]", "\\\\", ' * 60 + b"1" + b"]" * 60,
        "the file",
        "brackets nest deeper than 40",
    ),
    ("cut short", lambda: _bytes(whole_day())[:700], "line 1, column", "the file ends too soon;"),
    ("a comma missing", lambda: b'{"a": 1\n "b": 2}', "line 2, column 2", "makes this no JSON"),
    ("two days", lambda: b"{} {}", "line 1, column 4", '"{" makes this no JSON (extra data);'),
    ("two hundred thousand runs", _many_runs, "runs", "200000 of them; 5000 at most"),
    ("a crowd of stages", _many_stages, "the file", "more than 300000 entries stand in it;"),
    ("a crowd of levels", _many_levels, "the file", "more than 1024000 entries stand in it;"),
    ("a crowd of doubled keys", _many_doubled, "the file", "more than 300000 entries stand in it"),
    ("a crowd of shifts", _many_shifts, "kitchen.crew[0].shifts[1]", "within another shift of"),
    ("a crowd of shelves", _many_shelves, "kitchen.shelves[0].zone", '"larder" is not known here'),
    ("NaN", lambda: _with(b"NaN"), "demonstrations[0].stages[2].keeps_min", "NaN is no number;"),
    (
        "Infinity",
        lambda: _with(b"-Infinity"),
        "demonstrations[0].stages[2].keeps_min",
        "-Infinity is negative;",
    ),
    (
        "a hundred digits",
        lambda: _with(b"9" * 100),
        "demonstrations[0].stages[2].keeps_min",
        "99 is too large; write 1000000 at most",
    ),
    (
        "ten million digits",
        lambda: _with(b"9" * 10_000_000),
        "demonstrations[0].stages[2].keeps_min",
        "is too large; write 1000000 at most",
    ),
    (
        "a great power",
        lambda: _with(b"1e999"),
        "demonstrations[0].stages[2].keeps_min",
        "is too large; write 1000000 at most",
    ),
    (
        "a doubled key",
        lambda: _with(b'240, "keeps_min": 241'),
        "demonstrations[0].stages[2].keeps_min",
        "stands twice in one object; keep one and delete the other",
    ),
    (
        "half a character",
        lambda: b'{"\\ud800": "\\udc00"}',
        '["\\ud800"]',
        "there is no such field; leave it out",
    ),
]


@pytest.mark.parametrize(
    ("make", "place", "words"), [row[1:] for row in HOSTILE], ids=[row[0] for row in HOSTILE]
)
def test_a_hostile_file_is_refused_with_a_sentence(
    make: Callable[[], bytes], place: str, words: str
) -> None:
    """A sentence with its place, and printable; `tests/bench/hostile.py` tells how soon."""
    data = make()
    with pytest.raises(Refused) as refused:
        load_day(data)
    first = refused.value.faults[0]
    assert first.place.startswith(place)
    assert words in first.words
    assert str(refused.value).encode("utf-8")


def _plan(**lists: list[Any]) -> bytes:
    """Return the golden plan with other lists, written as tightly as can be."""
    plan = json.loads((GOLDEN / "knots.plan.json").read_text("utf-8")) | lists
    return json.dumps(plan, separators=(",", ":")).encode("utf-8")


def _many_takers() -> bytes:
    """Return about seven megabytes of takers of one copy, nothing else being wrong."""
    copy = json.loads((GOLDEN / "knots.plan.json").read_text("utf-8"))["copies"][0]
    return _plan(copies=[{**copy, "taken_by": [{"batch": "b1"}] * 450_000}])


HOSTILE_PLANS: list[tuple[str, Callable[[], bytes], str]] = [
    ("forty megabytes", lambda: b" " * 40_000_000, "40.0 MB are too many; 32 MB at most"),
    ("a crowd of takers", _many_takers, "more than 800000 entries stand in it; make several"),
    ("a crowd of batches", lambda: _plan(batches=[{}] * 900_000), "more than 800000 entries"),
    ("a crowd of words", lambda: _plan(warnings=["x"] * 3_000_000), "more than 2048000 entries"),
]


@pytest.mark.parametrize(
    ("make", "words"), [row[1:] for row in HOSTILE_PLANS], ids=[row[0] for row in HOSTILE_PLANS]
)
def test_a_hostile_plan_is_refused_with_a_sentence(make: Callable[[], bytes], words: str) -> None:
    """Before anything is made of it; `tests/bench/hostile.py` tells how soon."""
    with pytest.raises(Refused) as refused:
        load_plan(make())
    assert refused.value.faults[0].place == "the file"
    assert words in refused.value.faults[0].words


def test_what_no_day_holds_is_not_even_parsed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Making millions of objects only to throw them away would keep the reader busy."""

    def never(*_: object, **__: object) -> None:
        raise AssertionError("parsed")

    monkeypatch.setattr(suspicion.json, "loads", never)
    with pytest.raises(Refused, match="more than 1024000 entries stand in it; make it smaller"):
        load_day(b"[" + b"{}," * 1_100_000 + b"{}]")


def test_commas_in_texts_are_no_entries() -> None:
    """A text of four megabytes is strange, and no crowd."""
    title = ',"\\' * 1_100_000
    assert load_day(_bytes({**whole_day(), "title": title})).title == title


def test_a_file_full_of_mistakes_is_refused_in_time() -> None:
    """Hundreds of thousands of faults are not each told in words."""
    data = _with_stages([{"x": 1, "id": "A!"} for _ in range(90_000)])
    with pytest.raises(Refused) as refused:
        load_day(data)
    assert len(refused.value.faults) == 100
    assert refused.value.more > 50_000


def largest_day() -> bytes:
    """Return two hundred demonstrations of thirty stages with five thousand runs."""
    phases = [{"lasts_min": 3, "hands": 1}, {"lasts_min": 9}]
    stages = [
        {"id": f"s{number}", "keeps_min": 9, "ways": [{"id": "w", "phases": phases}]}
        for number in range(30)
    ]
    day = {
        "format": "day/1",
        "title": "All of it",
        "timezone": "Europe/Lisbon",
        "prep_from": "2027-03-01T07:00",
        "kitchen": {"crew": [{"id": "ada", "shifts": []}]},
        "demonstrations": [
            {"id": f"d{number}", "title": "Dish", "stages": stages} for number in range(200)
        ],
        "runs": [
            {
                "id": f"r{number}",
                "demonstration": "d7",
                "kind": "take",
                "starts": "2027-03-04T15:00",
            }
            for number in range(5000)
        ],
    }
    return _bytes(day)


def test_the_largest_production_is_read() -> None:
    assert len(load_day(largest_day()).runs) == 5000


ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-5, 10),
    st.integers(),
    st.floats(),
    st.text(max_size=8),
    st.sampled_from(["", "scaled", "mixed", "knots", "2027-03-28T01:30", "chill", "take", "é"]),
    st.sampled_from([[], {}, [[]], [{}], {"": None}, ["2027-03-04T07:00"] * 2]).map(copy.deepcopy),
)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(["knots", "raw-below-ready", "oven-shared", "whole"]), st.data())
def test_a_day_changed_at_random_is_read_or_refused(
    golden_documents: dict[str, Any], name: str, data: st.DataObject
) -> None:
    """Nothing but a day or a refusal ever comes out, and each day survives its own writing."""
    document = copy.deepcopy(golden_documents[name])
    for _ in range(data.draw(st.integers(1, 4))):
        _damage(document, data)
    try:
        day = load_day(_bytes_of_anything(document))
    except Refused as refused:
        _is_told_well(refused)
    else:
        assert load_day(canonical(day)) == day


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_a_plan_changed_at_random_is_read_or_refused(
    golden_documents: dict[str, Any], data: st.DataObject
) -> None:
    """Nothing but a plan or a refusal ever comes out."""
    document = copy.deepcopy(golden_documents["plan"])
    for _ in range(data.draw(st.integers(1, 3))):
        _damage(document, data)
    try:
        plan = load_plan(_bytes_of_anything(document))
    except Refused as refused:
        _is_told_well(refused)
    else:
        assert load_plan(dump_plan(plan)) == plan


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_bytes_changed_at_random_are_read_or_refused(
    golden_documents: dict[str, Any], data: st.DataObject
) -> None:
    """A file that was damaged on its way."""
    damaged = bytearray(_bytes(golden_documents["knots"]))
    for _ in range(data.draw(st.integers(1, 5))):
        at = data.draw(st.integers(0, len(damaged) - 1))
        damaged[at : at + data.draw(st.integers(0, 3))] = data.draw(st.binary(max_size=3))
    try:
        assert isinstance(load_day(bytes(damaged)), Day)
    except Refused as refused:
        _is_told_well(refused)


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_are_refused(data: bytes) -> None:
    """No short row of bytes is a day."""
    with pytest.raises(Refused):
        load_day(data)


@pytest.fixture(scope="module")
def golden_documents(golden: Callable[[str], Any]) -> dict[str, Any]:
    """Return a few documents to damage."""
    names = ("knots", "raw-below-ready", "oven-shared")
    days = {name: golden(f"{name}.day.json") for name in names}
    return {**days, "whole": whole_day(), "plan": golden("knots.plan.json")}


def _damage(document: Any, data: st.DataObject) -> None:
    """Change, add, double or take away something somewhere."""
    here = document
    while True:
        inside = [each for each in _values(here) if isinstance(each, dict | list) and each]
        if not inside or not data.draw(st.integers(0, 4)):
            break
        here = data.draw(st.sampled_from(inside))
    key = data.draw(st.sampled_from(list(here) if isinstance(here, dict) else range(len(here))))
    what = data.draw(st.sampled_from(["change", "drop", "add", "copy"]))
    if what == "drop":
        del here[key]
    elif what == "change":
        here[key] = data.draw(ODD)
    elif isinstance(here, list):
        here.append(copy.deepcopy(here[key]) if what == "copy" else data.draw(ODD))
    else:
        here[data.draw(st.text(max_size=6))] = data.draw(ODD)


def _values(part: Any) -> list[Any]:
    return list(part.values()) if isinstance(part, dict) else list(part)


def _bytes_of_anything(document: object) -> bytes:
    """Return JSON that says half characters by their numbers, which UTF-8 cannot hold."""
    return json.dumps(document).encode("utf-8")


def _is_told_well(refused: Refused) -> None:
    assert 0 < len(refused.faults) <= 100
    for fault in refused.faults:
        assert fault.place
        assert "\n" not in str(fault)
        assert 5 < len(fault.words) < 1000
        assert str(fault).encode("utf-8")
