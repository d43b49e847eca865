"""Ids that stand twice, and ids that name nothing."""

from typing import Any

import pytest

from app.planning.reading import read_day
from tests.planning.refusals.faults import faults_of, only_fault_of
from tests.planning.whole_day import GONE, changed, whole_day

BUNS = "demonstrations[0]"
BAKED = f"{BUNS}.stages[2]"

TWICE = [
    ("stock[1]", "freezer", {"demonstration": "jam", "stage": "set", "count": 1}),
    ("kitchen.equipment[2]", "bowl-1", {"kind": "bowl"}),
    ("kitchen.crew[2]", "ines", {"shifts": []}),
    ("kitchen.shelves[2]", "rack", {"zone": "hot", "levels": [9]}),
    ("demonstrations[2]", "jam", {"title": "More jam", "stages": []}),
    (f"{BUNS}.stages[3]", "mixed", {"keeps_min": 5}),
    (f"{BUNS}.beats[2]", "shape", {"starts_s": 0, "lasts_s": 1}),
    (f"{BUNS}.stages[1].ways[2]", "hand", {"phases": [{"lasts_min": 1}]}),
    ("runs[2]", "dry-1", {"demonstration": "jam", "kind": "take", "starts": "2027-03-04T15:00"}),
]
NOWHERE = [
    (f"{BAKED}.from[0].stage", "shapd", 'no stage "shapd" here; did you mean "shaped"?'),
    (f"{BAKED}.from[0].stage", "x", 'no stage "x" here; write "baked", "mixed" or "shaped"'),
    (f"{BAKED}.from[0].stage", "set", 'but "jam" has one; add "demonstration": "jam"'),
    (f"{BAKED}.from[1].stage", "sat", 'no stage "sat" in "jam"; did you mean "set"?'),
    (f"{BAKED}.from[1].demonstration", "jams", 'no demonstration "jams" in this day; did you'),
    (f"{BUNS}.stages[1].ways[0].from[0].stage", "mix", 'no stage "mix" here; did you mean "mixed"'),
    ("stock[0].stage", "set", 'no stage "set" in "buns"; write "baked", "mixed" or "shaped"'),
    ("stock[0].demonstration", "bun", 'no demonstration "bun" in this day; did you mean "buns"?'),
    (f"{BUNS}.beats[1].needs[0].stage", "bake", 'no stage "bake" here; did you mean "baked"?'),
    (f"{BUNS}.beats[0].leaves[0].stage", "set", 'no stage "set" here; write "baked", "mixed" or'),
    ("runs[1].demonstration", "pie", 'no demonstration "pie" in this day; write "buns" or "jam"'),
    ("runs[0].beats[1]", "est", 'no beat "est" here; did you mean "eat"?'),
    ("runs[0].beats[1]", "", 'no beat "" here; write "eat" or "shape"'),
]


@pytest.mark.parametrize(("place", "ident", "rest"), TWICE)
def test_an_id_stands_once_among_its_kind(place: str, ident: str, rest: dict[str, Any]) -> None:
    """Nothing could tell the two apart; the place of the first is told."""
    if place.startswith("stock"):
        rest = rest | {"staged": "2027-03-04T07:00"}
    fault = only_fault_of({place: {"id": ident, **rest}})
    assert fault.startswith(f'{place}.id: "{ident}" is the id of {place[:-3]}[')
    assert fault.endswith(" too; choose another")


def test_things_of_different_kinds_may_share_an_id() -> None:
    """Stages, beats and ways are told apart by their parents."""
    changes = {
        "kitchen.shelves[1].id": "ines",
        "kitchen.crew[1].id": "rack",
        "demonstrations[1].stages[1]": {"id": "mixed", "keeps_min": 1},
        f"{BUNS}.beats[1].id": "mixed",
        "runs[0].beats": GONE,
    }
    assert read_day(changed(whole_day(), changes))


@pytest.mark.parametrize(("place", "value", "words"), NOWHERE)
def test_an_id_names_something_that_is_there(place: str, value: str, words: str) -> None:
    """The nearest id is offered, or those that are there."""
    fault = only_fault_of({place: value})
    assert fault.startswith(f"{place}: no ")
    assert words in fault


def test_a_misspelt_stage_is_told_as_promised() -> None:
    """The sentence that the model gives as its example."""
    stages = [{"id": "rested", "keeps_min": 1}, {"id": "tied", "keeps_min": 1}]
    stages[1]["from"] = [{"stage": "rised"}]
    fault = only_fault_of({"demonstrations[1].stages": [*_set(), *stages]})
    expected = 'demonstrations[1].stages[2].from[0].stage: no stage "rised" here; did you mean'
    assert fault == f'{expected} "rested"?'


def test_an_id_that_breaks_its_form_can_still_be_named() -> None:
    """The mistake in the id is told, and not once more at everything that names it."""
    changes = {"demonstrations[1].stages[0].id": "Set", f"{BAKED}.from[1].stage": "Set"}
    assert only_fault_of(changes).startswith("demonstrations[1].stages[0].id: ")


def test_a_demonstration_of_the_wrong_kind_hides_no_dangling_ids_elsewhere() -> None:
    """References are looked at although the shape has faults elsewhere."""
    faults = faults_of({"demonstrations[1].stages[0].keeps_min": "x", "runs[1].demonstration": "y"})
    assert [fault.split(":")[0] for fault in faults] == [
        "demonstrations[1].stages[0].keeps_min",
        "runs[1].demonstration",
    ]


def _set() -> list[dict[str, Any]]:
    return [
        {"id": "set", "keeps_min": 1440, "ways": [{"id": "boil", "phases": [{"lasts_min": 4}]}]}
    ]
