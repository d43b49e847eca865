"""The one way to write a day down."""

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.planning.canonical import canonical, fingerprint
from app.planning.day import Day
from app.planning.reading import read_day
from tests.planning.whole_day import GONE, changed, whole_day
from tests.random_days import days

GOLDEN = Path(__file__).parents[1] / "golden"
DAYS = sorted(file.name for file in GOLDEN.glob("*.day.json"))
TOP = '{"format":"day/1","title":"t","timezone":"Europe/Lisbon","prep_from":"2027-03-04T07:00"'
SMALLEST = {
    "prep_from": "2027-03-04T07:00",
    "timezone": "Europe/Lisbon",
    "title": "t",
    "format": "day/1",
}
DEFAULTS = [
    ("kind", "broadcast"),
    ("policy", {}),
    ("policy", {"ready_margin_min": 10, "confidence": 0.95, "reuse": True, "prefer": "hands"}),
    ("policy", {"return_min": 5, "step_slack_min": 0, "spread": 0.1}),
    ("kitchen", {}),
    ("kitchen", {"equipment": [], "crew": [], "shelves": []}),
    ("stock", []),
    ("demonstrations", []),
    ("runs", []),
]
STAGE = "demonstrations[0].stages[0]"
FIXED = [
    ("kitchen.equipment[1].units", 1),
    ("kitchen.equipment[1].closed", []),
    ("kitchen.crew[1].skills", []),
    (f"{STAGE}.from", []),
    (f"{STAGE}.yields", 1),
    (f"{STAGE}.zone", "ambient"),
    (f"{STAGE}.copies_per_slot", 1),
    (f"{STAGE}.slots", 1),
    (f"{STAGE}.cost", 1),
    (f"{STAGE}.cost", 1.0),
    (f"{STAGE}.loss", 0.0),
    (f"{STAGE}.ingredients", []),
    (f"{STAGE}.tools", []),
    (f"{STAGE}.container", ""),
    (f"{STAGE}.look", ""),
    (f"{STAGE}.caution", ""),
    (f"{STAGE}.photo", ""),
    (f"{STAGE}.raw_animal", False),
    (f"{STAGE}.ready_to_eat", False),
    (f"{STAGE}.needs_temperature_control", False),
    (f"{STAGE}.ways[0].batch_max", 1),
    (f"{STAGE}.ways[0].phases[0].equipment[0].per_batch", 0),
    ("demonstrations[1].beats", []),
    ("demonstrations[1].stages[0].ways[0].phases[0].does", ""),
    ("demonstrations[1].stages[0].ways[0].phases[0].hands", 0),
    ("demonstrations[1].stages[0].ways[0].phases[0].per_copy_min", 0),
    ("demonstrations[1].stages[0].ways[0].phases[0].per_copy_s", 0),
    ("demonstrations[1].stages[0].ways[0].phases[0].equipment", []),
    ("demonstrations[0].stages[1].ways[1].phases[0].lasts_min", 0),
    ("demonstrations[0].stages[2].from[0].count", 1),
    ("demonstrations[0].beats[0].ingredients[0].unit", ""),
    ("demonstrations[0].beats[0].ingredients[0].per", "copy"),
    ("demonstrations[0].beats[0].ingredients[0].contains", []),
    ("demonstrations[0].beats[0].ingredients[0].note", ""),
    ("demonstrations[0].beats[0].needs[0].count", 1),
    ("demonstrations[0].beats[0].needs[0].backups", 0),
    ("demonstrations[0].beats[0].needs[0].untouched", False),
    ("demonstrations[0].beats[0].needs[0].tasting", False),
    ("demonstrations[0].beats[1].needs[0].per_station", True),
    ("demonstrations[0].beats[0].leaves[0].count", 1),
    ("demonstrations[0].beats[0].leaves[0].per_station", True),
    ("demonstrations[0].beats[1].needs", []),
    ("demonstrations[0].beats[1].leaves", []),
    ("demonstrations[0].beats[1].tools", []),
    ("demonstrations[0].beats[1].dressing", []),
    ("demonstrations[0].beats[1].note", ""),
    ("runs[1].starts_at_first_beat", False),
    ("runs[1].stations", 1),
    ("runs[1].dry", False),
    ("runs[1].people", []),
    ("runs[0].people[0].avoids", []),
]
OVERRIDES = [
    (f"{STAGE}.name", "mixed"),
    (f"{STAGE}.code", "MI"),
    ("demonstrations[1].code", "J"),
    ("kitchen.equipment[0].settings.cold_after_min", 120),
    ("demonstrations[0].stages[2].from[0].demonstration", "buns"),
    (f"{STAGE}.ways[0].from", []),
    (f"{STAGE}.ways[0].yields", 1),
    (f"{STAGE}.ways[0].cost", 1),
    (f"{STAGE}.ways[0].loss", 0),
    ("demonstrations[0].beats[1].kinds", []),
    ("demonstrations[0].beats[1].needs[0].ready_margin_min", 12),
    ("runs[1].ready_margin_min", 12),
    ("runs[1].beats", []),
]


@pytest.mark.parametrize("name", DAYS)
def test_a_canonical_day_is_read_back_as_it_was(name: str, golden: Callable[[str], Any]) -> None:
    """Nothing is lost by writing and reading."""
    day = read_day(golden(name))
    assert read_day(json.loads(canonical(day))) == day
    assert _again(day) == canonical(day)


def test_the_whole_day_comes_back_out() -> None:
    """Every field that says something is written."""
    assert json.loads(canonical(read_day(whole_day()))) == whole_day()


def test_the_keys_stand_in_the_order_of_the_model() -> None:
    """Name after id; settings after what they belong to; whatever order the file has."""
    written = canonical(read_day(_backwards(whole_day())))
    assert written == canonical(read_day(whole_day()))
    keys = [[*part] for part in _objects(json.loads(written))]
    assert [*whole_day()] in keys
    for expected in (
        ["id", "name", "kind", "units", "closed", "settings"],
        ["kind", "copies_per_unit", "setting"],
        ["lasts_min", "per_copy_min", "per_copy_s", "does", "hands", "skill", "equipment", "zone"],
        ["id", "name", "batch_max", "phases", "from", "yields", "cost", "loss"],
        ["stage", "count", "backups", "untouched", "tasting", "ready_margin_min"],
        ["name", "amount", "unit", "per", "contains", "note"],
    ):
        assert expected in keys


@pytest.mark.parametrize(("key", "value"), DEFAULTS)
def test_defaults_of_the_top_are_left_out(key: str, value: object) -> None:
    """And objects that are empty without them."""
    assert canonical(read_day({**SMALLEST, key: value})).decode() == TOP + "}"


@pytest.mark.parametrize(("place", "value"), FIXED)
def test_a_fixed_default_is_left_out(place: str, value: object) -> None:
    """Said or not said, it is one day."""
    said = _read({place: value})
    silent = read_day(changed(changed(whole_day(), {place: value}), {place: GONE}))
    assert _at(json.loads(canonical(said)), place) is GONE
    assert said == silent
    assert canonical(said) == canonical(silent)


@pytest.mark.parametrize(("place", "value"), OVERRIDES)
def test_a_value_that_overrides_an_inherited_one_stays(place: str, value: object) -> None:
    """What it overrides may change, and then it counts."""
    assert _written({place: value}, place) == value


@pytest.mark.parametrize(
    ("value", "written"), [(2, b"2"), (2.0, b"2"), (2.5, b"2.5"), (0.1, b"0.1"), (1e6, b"1000000")]
)
def test_a_whole_number_has_no_point(value: float, written: bytes) -> None:
    """1.0 is written as 1."""
    assert b'"cost":' + written + b"," in canonical(_read({f"{STAGE}.cost": value}))


def test_only_what_json_demands_is_escaped() -> None:
    """Letters of all scripts stand as they are, in UTF-8."""
    text = 'ã–字\u2028\x7f/<"\\\n\x01'
    written = canonical(read_day({**SMALLEST, "title": text})).decode("utf-8")
    assert '"title":"ã–字\u2028\x7f/<\\"\\\\\\n\\u0001"' in written


def test_there_are_no_blanks_and_no_line_end() -> None:
    """One day is one row of bytes."""
    assert canonical(read_day({**SMALLEST, "kind": "class"})) == (
        b'{"format":"day/1","title":"t","kind":"class","timezone":"Europe/Lisbon",'
        b'"prep_from":"2027-03-04T07:00"}'
    )


def test_the_fingerprint_is_the_sha256_of_the_canonical_form() -> None:
    """Anybody can work it out with other tools."""
    day = read_day(SMALLEST)
    assert fingerprint(day) == hashlib.sha256((TOP + "}").encode()).hexdigest()
    assert fingerprint(day) != fingerprint(read_day({**SMALLEST, "title": "u"}))


NUMBERS = st.one_of(
    st.integers(0, 1_000_000),
    st.floats(0, 1_000_000),
    st.sampled_from([1.0, 0.0, -0.0, 1e-7, 5e-324, 999_999.999_999_9]),
)


@settings(max_examples=100, deadline=None)
@given(
    cost=NUMBERS,
    amount=NUMBERS,
    loss=st.floats(0, 1, exclude_max=True),
    confidence=st.floats(0, 1, exclude_min=True, exclude_max=True),
    text=st.text(),
    switch=st.booleans(),
)
def test_writing_and_reading_again_changes_nothing(
    cost: float, amount: float, loss: float, confidence: float, text: str, switch: bool
) -> None:
    """Over numbers of every size and texts of every script."""
    day = _read(
        {
            f"{STAGE}.cost": cost,
            f"{STAGE}.ways[0].cost": cost,
            f"{STAGE}.loss": loss,
            "demonstrations[0].stages[2].ingredients[0].amount": amount,
            "policy.confidence": confidence,
            "policy.reuse": switch,
            "title": text,
            "runs[1].name": text,
            "demonstrations[0].beats[0].needs[0].per_station": switch,
        }
    )
    assert _again(day) == canonical(day)
    assert read_day(json.loads(canonical(day))) == day


@settings(max_examples=100, deadline=None)
@given(days())
def test_any_day_comes_back_from_its_canonical_form(day: Day) -> None:
    """Over days of every kind."""
    assert _again(day) == canonical(day)
    assert read_day(json.loads(canonical(day))) == day


def _again(day: Day) -> bytes:
    return canonical(read_day(json.loads(canonical(day))))


def _read(changes: dict[str, Any]) -> Day:
    return read_day(changed(whole_day(), changes))


def _written(changes: dict[str, Any], place: str) -> object:
    return _at(json.loads(canonical(_read(changes))), place)


def _at(document: Any, place: str) -> object:
    here = document
    for step in place.replace("[", ".").replace("]", "").split("."):
        if isinstance(here, list):
            here = here[int(step)]
        elif step in here:
            here = here[step]
        else:
            return GONE
    return here


def _backwards(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _backwards(value[key]) for key in reversed(value)}
    return [_backwards(each) for each in value] if isinstance(value, list) else value


def _objects(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        return [value, *(part for each in value.values() for part in _objects(each))]
    return [part for each in value for part in _objects(each)] if isinstance(value, list) else []
