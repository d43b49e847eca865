"""Stages that are made from themselves in the end."""

from typing import Any

from app.planning.reading import read_day
from tests.planning.refusals.faults import faults_of, only_fault_of
from tests.planning.whole_day import changed, whole_day

JAM = "demonstrations[1].stages"
MEND = "take one of these out of its from"


def _stage(ident: str, *sources: str, **more: Any) -> dict[str, Any]:
    inputs = [{"stage": source} for source in sources]
    way = {"id": "way", "phases": [{"lasts_min": 1}]}
    return {"id": ident, "from": inputs, "keeps_min": 9, "ways": [way], **more}


def test_a_stage_made_from_itself_is_refused() -> None:
    """The shortest circle."""
    assert only_fault_of({f"{JAM}[0].from": [{"stage": "set"}]}) == (
        f"{JAM}[0].from[0].stage: made in a circle: jam/set from jam/set; {MEND}"
    )


def test_a_circle_is_told_once_with_all_its_stages() -> None:
    """One circle, one sentence, at the first stage on it."""
    stages = [_stage("set", "b"), _stage("b", "c"), _stage("c", "set"), _stage("d", "c")]
    assert only_fault_of({JAM: stages}) == (
        f"{JAM}[0].from[0].stage: made in a circle:"
        f" jam/set from jam/b from jam/c from jam/set; {MEND}"
    )


def test_a_circle_through_two_demonstrations_is_refused() -> None:
    """The jam would need the bun that needs the jam."""
    changes = {f"{JAM}[0].from": [{"stage": "baked", "demonstration": "buns"}]}
    assert only_fault_of(changes) == (
        "demonstrations[0].stages[2].from[1].stage: made in a circle:"
        f" buns/baked from jam/set from buns/baked; {MEND}"
    )


def test_a_circle_through_the_inputs_of_a_way_is_refused() -> None:
    """A way has inputs of its own."""
    changes = {"demonstrations[0].stages[0].ways[0].from": [{"stage": "shaped"}]}
    assert only_fault_of(changes) == (
        "demonstrations[0].stages[0].ways[0].from[0].stage: made in a circle:"
        f" buns/mixed from buns/shaped from buns/mixed; {MEND}"
    )


def test_two_circles_are_told_apart() -> None:
    """All faults of a file at once."""
    stages = [_stage("set", "a"), _stage("a", "set"), _stage("b", "c"), _stage("c", "b")]
    faults = faults_of({JAM: stages})
    assert [fault.split(":")[0] for fault in faults] == [
        f"{JAM}[0].from[0].stage",
        f"{JAM}[2].from[0].stage",
    ]


def test_two_ways_to_one_stage_are_no_circle() -> None:
    """What is made twice over from one thing meets again, and does not turn back."""
    stages = [_stage("set"), _stage("a", "set"), _stage("b", "set"), _stage("c", "a", "b")]
    assert read_day(changed(whole_day(), {JAM: stages}))


def test_a_chain_of_ten_thousand_stages_is_read() -> None:
    """Nothing goes down with each link."""
    chain = [_stage("set"), _stage("s1", "set")]
    chain += [_stage(f"s{n}", f"s{n - 1}") for n in range(2, 10_000)]
    assert read_day(changed(whole_day(), {JAM: chain}))
    chain[0]["from"] = [{"stage": "s9999"}]
    fault = only_fault_of({JAM: chain})
    assert "jam/set from jam/s9999 from" in fault
    assert len(fault) < 300
