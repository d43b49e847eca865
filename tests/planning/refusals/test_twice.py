"""Things that may be named once only."""

import pytest

from app.planning.reading import read_day
from tests.planning.refusals.faults import only_fault_of
from tests.planning.whole_day import changed, whole_day

BUNS = "demonstrations[0]"
STAGES = [
    (f"{BUNS}.stages[2].from[2]", f"{BUNS}.stages[2].from[0].stage", {"stage": "shaped"}),
    (
        f"{BUNS}.stages[2].from[2]",
        f"{BUNS}.stages[2].from[0].stage",
        {"stage": "shaped", "demonstration": "buns"},
    ),
    (
        f"{BUNS}.stages[1].ways[0].from[1]",
        f"{BUNS}.stages[1].ways[0].from[0].stage",
        {"stage": "mixed", "count": 4},
    ),
    (f"{BUNS}.beats[0].needs[1]", f"{BUNS}.beats[0].needs[0].stage", {"stage": "mixed"}),
    (f"{BUNS}.beats[0].leaves[1]", f"{BUNS}.beats[0].leaves[0].stage", {"stage": "shaped"}),
]


@pytest.mark.parametrize(("place", "first", "entry"), STAGES)
def test_a_list_names_a_stage_once(place: str, first: str, entry: dict[str, object]) -> None:
    """Two entries would be one count, or a slip."""
    expected = f'{place}.stage: "{entry["stage"]}" stands at {first} already; keep one of the two'
    assert only_fault_of({place: entry}) == expected


def test_two_demonstrations_may_each_give_a_stage_of_one_name() -> None:
    """A stage is named with its demonstration."""
    stage = {"id": "shaped", "keeps_min": 9, "ways": [{"id": "cut", "phases": [{"lasts_min": 1}]}]}
    changes = {
        "demonstrations[1].stages[1]": stage,
        f"{BUNS}.stages[2].from[2]": {"stage": "shaped", "demonstration": "jam"},
    }
    assert read_day(changed(whole_day(), changes))


def test_a_phase_uses_a_kind_once() -> None:
    """All its units are on one item of the kind."""
    phase = f"{BUNS}.stages[0].ways[0].phases[0].equipment"
    assert only_fault_of({f"{phase}[1]": {"kind": "bowl", "per_batch": 1}}) == (
        f'{phase}[1].kind: "bowl" stands at {phase}[0].kind already; keep one of the two'
    )


def test_a_run_lists_a_beat_once() -> None:
    """One pass shows each moment once."""
    expected = 'runs[0].beats[2]: "shape" stands at runs[0].beats[0] already; keep one of the two'
    assert only_fault_of({"runs[0].beats[2]": "shape"}) == expected
