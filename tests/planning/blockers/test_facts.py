"""Every kind of fact can stand in the way, and is told then; without it the day is possible."""

from collections.abc import Sequence
from typing import Any

import pytest

from app.planning.blockers.facts import TOLD_IN
from app.planning.day import Day
from app.planning.solve import solve
from tests.planning.blockers.dropping import without
from tests.planning.blockers.looked import Told, clashes, told

Document = dict[str, Any]
RUN = ("run", ("take",), "")
NEED = ("need", ("take", "show", "done"), "")
KEEPS = ("keeps", ("bun", "done"), "")
WAY = ("way", ("bun", "done", "way"), "")
PREP = ("prep_from", (), "")
OVEN = {"kind": "oven", "per_batch": 1}


def _day(stage: Document, phase: Document, **more: Any) -> Document:
    """Return a day that begins at 8 and needs one bun at 10, but for what is said otherwise."""
    way = {"id": "way", "batch_max": stage.pop("batch_max", 1), "phases": [phase]}
    stages = [{"id": "done", "keeps_min": 600, "ways": [way]} | stage]
    need = {"stage": "done"} | more.pop("need", {})
    leaves = more.pop("leaves", ())
    beats = [{"id": "show", "starts_s": 0, "lasts_s": 60, "needs": [need]}]
    if leaves:
        beats.insert(0, {"id": "shape", "starts_s": 0, "lasts_s": 60, "leaves": list(leaves)})
    run = {"id": "take", "demonstration": "bun", "kind": "take", "beats": ["show"]}
    run |= {"starts": "2027-03-04T10:00"} | more.pop("run", {})
    return {
        "title": "Facts",
        "timezone": "Europe/Lisbon",
        "prep_from": "2027-03-04T08:00",
        "demonstrations": [{"id": "bun", "title": "Bun", "stages": stages, "beats": beats}],
        "runs": [run, *more.pop("runs", ())],
    } | more


def _cook(name: str, begins: str, skills: Sequence[str] = ()) -> Document:
    shift = [f"2027-03-04T{begins}", "2027-03-04T18:00"]
    return {"id": name, "shifts": [shift], "skills": list(skills)}


def _oven(**more: Any) -> Document:
    return {"equipment": [{"id": "oven", "kind": "oven"} | more]}


SHAPED = {"id": "shaping", "demonstration": "bun", "kind": "take", "beats": ["shape"]}
DAYS: dict[str, tuple[Document, set[Told]]] = {
    # Ada is there and cannot; Bea can and comes when the bun should be ready.
    "skill": (
        _day({}, {"lasts_min": 20, "hands": 1, "skill": "pastry"},
             kitchen={"crew": [_cook("ada", "08:00"), _cook("bea", "10:00", ["pastry"])]}),
        {RUN, NEED, ("crew", ("ada",), "skills"), ("crew", ("bea",), "shifts")},
    ),
    # Of three buns that one cook makes two wait, and there is one slot.
    "shelf": (
        _day({"zone": "chill"}, {"lasts_min": 20, "hands": 1}, need={"count": 3},
             kitchen={"crew": [_cook("ada", "08:00")],
                      "shelves": [{"id": "fridge", "zone": "chill", "levels": [1]}]}),
        {NEED, ("shelf", ("fridge",), ""), ("crew", ("ada",), "hands")},
    ),
    # Fresh buns at 10, and the oven is closed until 12.
    "closed": (
        _day({"keeps_min": 30}, {"lasts_min": 20, "equipment": [OVEN]},
             kitchen=_oven(closed=[["2027-03-04T08:00", "2027-03-04T12:00"]]),
             prep_from="2027-03-04T06:00"),
        {RUN, NEED, KEEPS, ("equipment", ("oven",), "closed")},
    ),
    # Both within the last 35 min, in an oven of one.
    "units": (
        _day({"keeps_min": 25}, {"lasts_min": 20, "equipment": [OVEN]}, need={"count": 2},
             kitchen=_oven()),
        {NEED, KEEPS, WAY, ("equipment", ("oven",), "units"),
         ("policy", ("ready_margin_min",), "")},
    ),
    # Ready an hour before by the run's own margin, and keeps for half of it.
    "margin of the run": (
        _day({"keeps_min": 30}, {"lasts_min": 20}, run={"ready_margin_min": 60}),
        {NEED, KEEPS, ("run", ("take",), "margin")},
    ),
    "margin of the need": (
        _day({"keeps_min": 30}, {"lasts_min": 20}, need={"ready_margin_min": 60}),
        {NEED, KEEPS, ("need", ("take", "show", "done"), "margin")},
    ),
    # Half of them are lost: five are to be made for one to be sure of, 40 min each.
    "losses": (
        _day({"loss": 0.5, "batch_max": 10}, {"per_copy_min": 40}),
        {RUN, NEED, WAY, PREP, ("policy", ("confidence",), "")},
    ),
    # Left at 10:01, back at 10:06, and wanted at 10:04.
    "on the way back": (
        _day({"ways": []}, {}, leaves=[{"stage": "done"}], run={"starts": "2027-03-04T10:04"},
             runs=[SHAPED | {"starts": "2027-03-04T10:00"}], policy={"ready_margin_min": 0}),
        {RUN, NEED, ("policy", ("return_min",), "")},
    ),
    # What the first run leaves would do, and there is no time for another.
    "not used again": (
        _day({}, {"lasts_min": 150}, leaves=[{"stage": "done"}],
             runs=[SHAPED | {"starts": "2027-03-04T09:00"}], policy={"reuse": False}),
        {RUN, NEED, WAY, PREP, ("policy", ("reuse",), "")},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", DAYS)
def test_each_kind_of_fact_is_told_and_can_be_dropped(name: str) -> None:
    """Tests the whole set; with any one fact dropped from the file, the planner serves the day."""
    document, facts = DAYS[name]
    (clash,) = clashes(Day.model_validate(document))
    assert told(clash) == facts
    for kind, ids, part in facts:
        plan = solve(Day.model_validate(without(document, kind, ids, part)))
        assert plan.objective.unmet == 0, (kind, ids, part)


def test_every_kind_is_among_them() -> None:
    """The nine kinds that a plan can name."""
    told_kinds = {kind for _, facts in DAYS.values() for kind, _, _ in facts}
    assert sorted(told_kinds) == sorted(TOLD_IN)
