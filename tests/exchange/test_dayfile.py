"""Files from anywhere: read with suspicion, told in sentences, never a crash."""

import copy
import json
import random
import time
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.exchange.dayfile import dump_plan, load_day, load_plan
from app.planning.canonical import canonical
from app.planning.day import Day
from app.planning.reading import Refused
from tests.planning.whole_day import changed, whole_day

PROMISED_S = 2.0
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
def test_a_hostile_file_is_refused_with_a_sentence_in_two_seconds(
    make: Callable[[], bytes], place: str, words: str
) -> None:
    """A sentence with its place, soon, and printable; time that others take is not counted."""
    data = make()
    start = time.process_time()
    with pytest.raises(Refused) as refused:
        load_day(data)
    assert time.process_time() - start < PROMISED_S
    first = refused.value.faults[0]
    assert first.place.startswith(place)
    assert words in first.words
    assert str(refused.value).encode("utf-8")


def test_a_day_file_is_read() -> None:
    """The whole day, with letters beyond ASCII."""
    day = load_day(_bytes(whole_day()))
    assert (day.title, day.kitchen.crew[0].name) == ("Sunday jam · “early”", "Inês")
    assert load_day(canonical(day)) == day


def test_sixteen_megabytes_are_just_read() -> None:
    """The limit itself counts as within."""
    data = _bytes(whole_day())
    assert load_day(data + b" " * (16_000_000 - len(data)))
    with pytest.raises(Refused, match=r"the file: 16\.0 MB are too many"):
        load_day(data + b" " * (16_000_001 - len(data)))


def test_forty_levels_of_brackets_are_looked_at_and_more_are_not() -> None:
    """A day has eleven; brackets within texts do not count."""
    with pytest.raises(Refused, match="is no object"):
        load_day(b"[" * 40 + b"]" * 40)
    with pytest.raises(Refused, match="nest deeper"):
        load_day(b"[" * 41 + b"]" * 41)
    text = '\\"[{' * 100
    assert load_day(_bytes(changed(whole_day(), {"title": text}))).title == text


def test_every_doubled_key_is_told_beside_the_other_faults() -> None:
    """At the top, in the middle and in a value that is not read otherwise."""
    text = _bytes(whole_day()).replace(b'"title": "Jam"', b'"title": "Jam", "title": 5')
    text = text.replace(b'"kind": "class"', b'"kind": "class", "kind": "film", "kind": "class"')
    with pytest.raises(Refused) as refused:
        load_day(text.replace(b'"stations": 2', b'"stations": 0'))
    assert [fault.place for fault in refused.value.faults] == [
        "kind",
        "demonstrations[1].title",
        "demonstrations[1].title",
        "runs[0].stations",
    ]


def test_a_file_full_of_mistakes_is_refused_in_time() -> None:
    """Hundreds of thousands of faults are not each told in words."""
    stages = [{"x": 1, "id": "A!"} for _ in range(200_000)]
    data = _bytes(changed(whole_day(), {"demonstrations[1].stages": stages}))
    with pytest.raises(Refused) as refused:
        load_day(data)
    assert len(refused.value.faults) == 100
    assert refused.value.more > 50_000


def test_a_plan_is_read_back_as_it_was_written(golden: Callable[[str], Any]) -> None:
    """And bounds that are not proven stay null."""
    document = golden("knots.plan.json")
    document["bounds"] |= {"hands_min": None, "waiting_min": None, "early_min": None}
    document["warnings"] = ["The oven is lit while nobody is on shift – “café”."]
    plan = load_plan(_bytes(document))
    written = dump_plan(plan)
    assert load_plan(written) == plan
    assert "“café”".encode() in written
    assert written.endswith(b"}\n")
    assert json.loads(written)["bounds"]["hands_min"] is None


def test_an_entry_of_a_plan_stands_on_a_line_of_its_own(golden: Callable[[str], Any]) -> None:
    """So that two plans can be compared by eye."""
    plan = load_plan(_bytes(golden("knots.plan.json")))
    lines = [line.strip(" ,]}") for line in dump_plan(plan).decode("utf-8").splitlines()]
    assert sum(line.startswith('{"id": "b') for line in lines) == len(plan.batches)
    assert sum(line.startswith('{"id": "knots/') for line in lines) == len(plan.copies)


@pytest.mark.parametrize(
    ("changes", "place", "words"),
    [
        ({"format": "plan/2"}, "format", '"plan/2" is not known here; did you mean "plan/1"?'),
        ({"status": "fine"}, "status", '"fine" is not known here; write "optimal", "feasible"'),
        ({"batchs": []}, "batchs", 'there is no such field; did you mean "batches"?'),
        ({"objective.unmet": "0"}, "objective.unmet", '"0" is text; write the number without'),
        ({"objective.cost": float("nan")}, "objective.cost", "NaN is no number; write a number"),
        ({"batches[0].phases": []}, "batches[0].phases", "an empty list; write one phase at"),
        (
            {"batches[0].phases[0].starts": "7 o'clock"},
            "batches[0].phases[0].starts",
            "is no time; write a local time to the minute",
        ),
        (
            {"copies[0].role": "extra"},
            "copies[0].role",
            '"extra" is not known here; write "camera"',
        ),
        ({"copies[0].made_by": {}}, "copies[0].made_by", "0 of batch, use, stock are given; write"),
        (
            {"copies[0].made_by": {"batch": "b1", "stock": "s"}},
            "copies[0].made_by",
            "2 of batch, use, stock are given; write exactly one",
        ),
        (
            {"copies[0].taken_by": [{}]},
            "copies[0].taken_by[0]",
            "0 of batch, use are given; write exactly one",
        ),
        (
            {"copies[0].taken_by": [{"use": ["knots-take-1"]}]},
            "copies[0].taken_by[0].use",
            "1 entries stand here; write a list of two: a text in quotes, twice",
        ),
    ],
)
def test_a_misshapen_plan_is_refused(
    changes: dict[str, Any], place: str, words: str, golden: Callable[[str], Any]
) -> None:
    """Its shape only: whether its figures are right is for the audit to say."""
    with pytest.raises(Refused) as refused:
        load_plan(_bytes(changed(golden("knots.plan.json"), changes)))
    told = [fault for fault in refused.value.faults if fault.place == place]
    assert len(told) == 1
    assert words in told[0].words


def test_a_plan_may_be_larger_than_a_day() -> None:
    """Up to 64 MB."""
    with pytest.raises(Refused, match=r"the file: 64\.0 MB are too many; 64 MB at most"):
        load_plan(b" " * 64_000_001)
    with pytest.raises(Refused, match="it is empty"):
        load_plan(b" " * 20_000_000)


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
