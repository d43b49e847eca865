"""The skeletons of demonstrations: whole, in a kitchen of the usual things, every time marked."""

from pathlib import Path

import pytest

from app.exchange.dayfile import load_day
from app.planning.dates import lasting
from app.planning.day import Demonstration
from app.planning.reading import warnings_of
from seed_demo import skeletons

DAY = load_day(skeletons())
TABLE = Path(__file__).parents[1] / "seed_demo" / "skeletons.md"
NATURES = {
    "yeast-dough", "batter", "laminated-pastry", "braise", "custard", "frozen", "no-cook",
}  # fmt: skip


def test_there_is_one_for_each_nature_of_dish() -> None:
    """They make a valid day, and each of their ways can run."""
    assert {each.id for each in DAY.demonstrations} == NATURES
    assert warnings_of(DAY) == []


@pytest.mark.parametrize("shown", DAY.demonstrations, ids=lambda each: each.id)
def test_every_time_is_marked(shown: Demonstration) -> None:
    """Whoever wonders where a time comes from finds it, with the value that the skeleton has."""
    rows = TABLE.read_text("utf-8").splitlines()
    for stage in shown.stages:
        told = {way.called: way.length_min(1) for way in stage.ways} | {"keeps": stage.keeps_min}
        for what, minutes in told.items():
            called = f"{shown.title}, {stage.called}, {what}"
            assert f"| {called} | {lasting(minutes)} | common practice |" in rows


@pytest.mark.parametrize("shown", DAY.demonstrations, ids=lambda each: each.id)
def test_every_skeleton_has_words_and_something_to_show(shown: Demonstration) -> None:
    """Each phase says what to do, each stage how it looks, and the last beat shows a hero."""
    assert all(phase.does for stage in shown.stages for way in stage.ways for phase in way.phases)
    assert all(stage.look for stage in shown.stages)
    assert shown.beats[-1].needs[0].untouched
    assert not any(stage.ready_to_eat for stage in shown.stages)


@pytest.mark.parametrize("shown", DAY.demonstrations, ids=lambda each: each.id)
def test_what_a_beat_needs_keeps_longer_than_it_must_stand_ready(shown: Demonstration) -> None:
    """A copy that is staged when it must be is still good when it is used."""
    kept = {stage.id: stage.keeps_min for stage in shown.stages}
    needed = {need.stage for beat in shown.beats for need in beat.needs}
    assert min(kept[stage] for stage in needed) >= DAY.policy.ready_margin_min + 5
