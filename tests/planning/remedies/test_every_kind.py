"""Kinds of remedies that few days have: each is offered, works, and changes what its words say."""

import pytest

from app.planning.advice import planned
from app.planning.audit import audit
from app.planning.canonical import document
from app.planning.reading import read_day
from app.planning.remedies.patch import patched
from app.planning.solve import solve
from tests.planning.drafts import Facts, at, beat, cook, day, run, stage, way

HELD = {"kind": "oven", "per_batch": 1}
OVEN = {"id": "deck", "phases": [{"lasts_min": 20, "equipment": [HELD]}]}


def _closed() -> Facts:
    """Return a day whose only oven is closed in the hour in which the bun has to be baked."""
    oven = {"id": "oven", "kind": "oven", "closed": [[at("11:00"), at("12:00")]]}
    kitchen = {"crew": [cook()], "equipment": [oven]}
    beats = [beat("show", 0, 60, {"bun": 1}, {})]
    return day([stage("bun", OVEN, keeps_min=40)], beats, [run("take", "12:00")], kitchen=kitchen)


def _unskilled() -> Facts:
    """Return a day on which nobody can glaze before two."""
    ben = cook("ben", ("14:00", "20:00"), skills=["pastry"])
    stages = [stage("glazed", way(20, skill="pastry"), keeps_min=60)]
    beats = [beat("show", 0, 60, {"glazed": 1}, {})]
    return day(stages, beats, [run("take", "12:00")], kitchen={"crew": [cook(), ben]})


def _carried() -> Facts:
    """Return a day on which the only dough is back two minutes too late for the second run."""
    beats = [beat("leave", 0, 60, {}, {"dough": 1}), beat("take", 0, 60, {"dough": 1}, {})]
    runs = [run("one", "10:00", beats=["leave"]), run("two", "10:14", beats=["take"])]
    return day([{"id": "dough", "keeps_min": 600}], beats, runs)


def _backed() -> Facts:
    """Return a day on which Ada makes three loaves in time, and three backups are wanted."""
    beats = [beat("show", 0, 60, {"loaf": {"count": 1, "backups": 3}}, {})]
    stages = [stage("loaf", way(10, most=1), keeps_min=35)]
    return day(stages, beats, [run("take", "12:00")])


@pytest.mark.parametrize(
    ("told", "words", "path", "value"),
    [
        (_closed(), "Keep oven open 11:00 to 12:00.", "/kitchen/equipment/0/closed", None),
        (_unskilled(), "Let ada do pastry too.", "/kitchen/crew/0/skills", ["pastry"]),
        (
            _carried(),
            "Have what a beat leaves back after 3 min instead of 5 min.",
            "/policy",
            {"return_min": 3},
        ),
        (
            _backed(),
            "Do with 2 backups of loaf at show of Loaf, not 3.",
            "/demonstrations/0/beats/0/needs/0/backups",
            2,
        ),
    ],
)
def test_it_is_offered_and_does_what_it_says(
    told: Facts, words: str, path: str, value: object
) -> None:
    """The change is the one of the words, and with it nothing lacks."""
    before = read_day(told)
    plan = planned(before)
    assert plan.unmet
    remedy = next(each for each in plan.remedies if each.words == words)
    (change,) = remedy.change
    assert (change["path"], change.get("value")) == (path, value)
    after = read_day(patched(document(before), remedy.change))
    again = solve(after)
    assert audit(after, again) == []
    assert (again.unmet, again.objective.cost) == ((), remedy.cost)
