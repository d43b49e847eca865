"""The usual caution of a step that can hurt (common practice); the day's own goes before it."""

from typing import Any

import pytest

from app.planning.care import HEAT, KNIFE, RAW, SUGAR, cautions
from app.planning.day import Stage


def stage(does: str = "", kind: str = "", **facts: Any) -> Stage:
    """Return a stage of one way and one phase."""
    phase: dict[str, Any] = {"lasts_min": 5, "does": does}
    if kind:
        phase["equipment"] = [{"kind": kind, "per_batch": 1}]
    document = {"id": "it", "keeps_min": 60, "ways": [{"id": "so", "phases": [phase]}]}
    return Stage.model_validate(document | facts)


def told(of: Stage) -> list[str]:
    """Return the cautions of its way."""
    return cautions(of, of.ways[0])


@pytest.mark.parametrize(
    ("does", "kind", "wanted"),
    [
        ("Bake it.", "deck-oven", [HEAT]),
        ("Cook the caramel.", "hob", [HEAT, SUGAR]),
        ("Slice thinly.", "", [KNIFE]),
        ("Carve with a long knife.", "", [KNIFE]),
        ("Stir.", "", []),
        ("Wheel the boxes in.", "", []),
    ],
)
def test_a_step_that_can_hurt_says_so(does: str, kind: str, wanted: list[str]) -> None:
    assert told(stage(does, kind)) == wanted


@pytest.mark.parametrize(
    ("kind", "word"), [("fryer", "Hot fat"), ("dipping bath", "Caustic"), ("slicer", "Blade")]
)
def test_equipment_that_can_hurt_says_so(kind: str, word: str) -> None:
    (words,) = told(stage(kind=kind))
    assert words.startswith(word)


def test_raw_meat_says_so() -> None:
    assert told(stage(raw_animal=True)) == [RAW]


def test_the_day_s_own_caution_goes_before() -> None:
    assert told(stage(kind="oven", caution="Two people lift it.")) == ["Two people lift it."]
