"""Keys that are unknown or missing, and values of the wrong kind."""

from typing import Any

import pytest

from tests.planning.refusals.faults import faults_of, only_fault_of
from tests.planning.whole_day import GONE

STAGE = "demonstrations[0].stages[2]"
PHASE = "demonstrations[0].stages[0].ways[0].phases[0]"
ZONES = '"ambient", "chill", "frozen", "hot" or "proof"'
AN_ID = 'write an id of 1 to 48 small letters, digits and hyphens, such as "take-1"'

UNKNOWN = [
    ("titel", "title"),
    ("policy.margin", None),
    ("policy.return_mins", "return_min"),
    ("kitchen.ovens", None),
    ("kitchen.equipment[0].unit", "units"),
    ("kitchen.equipment[0].settings.change", "change_min"),
    ("kitchen.crew[0].skill", "skills"),
    ("kitchen.shelves[0].level", "levels"),
    ("stock[0].stages", "stage"),
    ("demonstrations[0].stage", "stages"),
    (f"{STAGE}.keep_min", "keeps_min"),
    (f"{STAGE}.takes", None),
    (f"{STAGE}.from[0].counts", "count"),
    (f"{STAGE}.ingredients[0].units", "unit"),
    (f"{STAGE}.ways[0].phase", "phases"),
    (f"{PHASE}.hand", "hands"),
    (f"{PHASE}.equipment[0].per_batches", "per_batch"),
    ("demonstrations[0].beats[0].need", "needs"),
    ("demonstrations[0].beats[0].needs[0].backup", "backups"),
    ("demonstrations[0].beats[0].leaves[0].per_stations", "per_station"),
    ("runs[0].start", "starts"),
    ("runs[0].people[0].avoid", "avoids"),
]
REQUIRED = [
    ("format", '"day/1"'),
    ("title", "a text in quotes"),
    ("timezone", 'the name of a time zone, such as "Europe/Lisbon"'),
    ("prep_from", 'a local time to the minute, such as "2027-03-04T07:00"'),
    ("kitchen.equipment[1].id", "an id of 1 to 48 small letters, digits and hyphens, such as"),
    ("kitchen.equipment[0].settings.change_min", "a whole number of 0 or more"),
    ("kitchen.crew[1].id", "an id"),
    ("kitchen.crew[1].shifts", "a list in [ ]"),
    ("kitchen.shelves[1].id", "an id"),
    ("kitchen.shelves[1].zone", ZONES),
    ("kitchen.shelves[1].levels", "a list in [ ]"),
    ("stock[0].id", "an id"),
    ("stock[0].demonstration", "a text"),
    ("stock[0].stage", "a text"),
    ("stock[0].count", "a whole number of 1 or more"),
    ("stock[0].staged", "a local time"),
    ("demonstrations[1].title", "a text"),
    (f"{STAGE}.keeps_min", "a whole number of 0 or more"),
    (f"{STAGE}.from[0].stage", "a text"),
    (f"{STAGE}.ways[0].id", "an id"),
    (f"{STAGE}.ways[0].phases", "a list in [ ]"),
    (f"{PHASE}.equipment[0].kind", "a text"),
    (f"{STAGE}.ingredients[0].name", "a text"),
    ("demonstrations[0].beats[0].starts_s", "a whole number of 0 or more"),
    ("demonstrations[0].beats[0].lasts_s", "a whole number of 1 or more"),
    ("demonstrations[0].beats[0].needs[0].stage", "a text"),
    ("demonstrations[0].beats[0].leaves[0].stage", "a text"),
    ("runs[0].id", "an id"),
    ("runs[0].demonstration", "a text"),
    ("runs[0].kind", '"rehearsal", "take", "pickup", "stills", "tasting" or "sitting"'),
    ("runs[0].starts", "a local time"),
    ("runs[0].people[0].name", "a text"),
]
WRONG = [
    ("format", "day/2", '"day/2" is not known here; did you mean "day/1"?'),
    ("format", 1, '1 is not known here; write "day/1"'),
    ("title", 5, "5 is no text; write a text in quotes"),
    ("title", None, "null is no text; write a text in quotes"),
    ("title", "\ud83c", '"\\ud83c" holds half a character; write the whole one'),
    ("kind", "film", '"film" is not known here; write "broadcast" or "class"'),
    ("policy", [], "an empty list is no object; write an object in { }"),
    ("policy.prefer", "fast", '"fast" is not known here; write "hands" or "fresh"'),
    ("policy.reuse", 1, "1 is neither true nor false; write true or false, without quotes"),
    ("policy.reuse", "no", '"no" is neither true nor false; write true or false, without quotes'),
    ("kitchen.equipment[0].kind", 3, "3 is no text; write a text in quotes"),
    ("kitchen.equipment[0].id", "Oven", f'"Oven" is no id; {AN_ID}'),
    ("kitchen.equipment[1].name", 7, "7 is no text; write a text in quotes"),
    ("kitchen.crew[0].skills", "pastry", '"pastry" is no list; write a list in [ ]'),
    ("kitchen.shelves[1].zone", "cold", f'"cold" is not known here; write {ZONES}'),
    ("kitchen.shelves[1].zone", "Chill", '"Chill" is not known here; did you mean "chill"?'),
    (f"{STAGE}.zone", "warm", f'"warm" is not known here; write {ZONES}'),
    (f"{PHASE}.zone", "warm", f'"warm" is not known here; write {ZONES}'),
    (f"{STAGE}.ready_to_eat", "yes", '"yes" is neither true nor false; write true or false,'),
    (f"{STAGE}.ingredients[0].per", "bun", '"bun" is not known here; write "copy", "set" or'),
    (f"{STAGE}.tools[0]", 1, "1 is no text; write a text in quotes"),
    ("demonstrations[1].stages[0].ways[0]", "boil", '"boil" is no object; write an object in'),
    ("demonstrations[0].beats[0].kinds[1]", "live", '"live" is not known here; write "rehearsal",'),
    ("demonstrations[0].beats[0].kinds", "take", '"take" is no list; write a list in [ ]'),
    ("runs[0].kind", "live", '"live" is not known here; write "rehearsal", "take", "pickup",'),
    ("runs[0].people[0].avoids", "milk", '"milk" is no list; write a list in [ ]'),
]
NO_IDS = ["", "Take", "-take", "take_1", "take 1", "café", "a" * 49, "take\n", 7, None]


@pytest.mark.parametrize(("place", "near"), UNKNOWN)
def test_an_unknown_key_is_refused(place: str, near: str | None) -> None:
    """A slip in a key would silently plan with the default; the field's name in code is no key."""
    mend = f'did you mean "{near}"?' if near else "leave it out"
    assert only_fault_of({place: 1}) == f"{place}: there is no such field; {mend}"


@pytest.mark.parametrize(("place", "wanted"), REQUIRED)
def test_a_field_without_a_default_must_be_there(place: str, wanted: str) -> None:
    """What has no default in the model is told as missing, with what to add."""
    told = [fault for fault in faults_of({place: GONE}) if fault.startswith(f"{place}: ")]
    assert len(told) == 1
    assert told[0].startswith(f"{place}: is missing; add {wanted}")


def test_a_demonstration_without_stages_is_refused() -> None:
    """Everything that names its stages keeps silent: one mistake is told once."""
    place = "demonstrations[1].stages"
    assert only_fault_of({place: GONE}) == f"{place}: is missing; add a list in [ ]"


@pytest.mark.parametrize(("place", "value", "words"), WRONG)
def test_a_value_of_the_wrong_kind_is_refused(place: str, value: Any, words: str) -> None:
    """The sentence names the place, the value and what to write instead."""
    assert only_fault_of({place: value}).startswith(f"{place}: {words}")


@pytest.mark.parametrize("value", NO_IDS)
def test_an_id_is_small_letters_digits_and_hyphens(value: Any) -> None:
    """Ids stand in addresses and on labels."""
    fault = only_fault_of({"runs[1].id": value})
    assert fault.startswith("runs[1].id: ")
    assert fault.endswith(f"is no id; {AN_ID}")


def test_a_strange_key_is_told_in_quotes() -> None:
    """A place stays readable whatever somebody wrote as a key."""
    fault = faults_of({"policy": {"a b\n": 1}})[0]
    assert fault == 'policy["a b\\n"]: there is no such field; leave it out'


def test_a_long_value_is_cut_short() -> None:
    """A sentence is not the place for a whole page."""
    fault = only_fault_of({"kind": "x" * 5000})
    assert len(fault) < 200
