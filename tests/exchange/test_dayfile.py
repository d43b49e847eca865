"""Files of days and plans: what they say comes in whole, and goes out the same."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from app.exchange.dayfile import dump_plan, load_day, load_plan
from app.planning.canonical import canonical
from app.planning.reading import Refused
from tests.planning.whole_day import changed, whole_day


def _bytes(document: object) -> bytes:
    return json.dumps(document, ensure_ascii=False).encode("utf-8")


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
    """Up to 32 MB."""
    with pytest.raises(Refused, match=r"the file: 32\.0 MB are too many; 32 MB at most"):
        load_plan(b" " * 32_000_001)
    with pytest.raises(Refused, match="it is empty"):
        load_plan(b" " * 20_000_000)
