"""More levels on a shelf that is too small: as few as will do."""

from copy import deepcopy
from typing import NoReturn

import pytest

from app.planning.advice import planned
from app.planning.audit import audit
from app.planning.day import Day
from app.planning.mending import Mending
from app.planning.reading import read_day
from app.planning.remedies.mended import mended_for
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never
from tests.planning.drafts import Facts, beat, cook, day, run, stage, way

COPIES = 4


def crowded(levels: list[int]) -> Facts:
    """Return a day on which four copies, all made by noon, wait on one shelf for half an hour."""
    return day(
        [stage("done")],
        [beat("show", 0, 60, {"done": COPIES}, {})],
        [run("take", "12:30")],
        kitchen={
            "crew": [cook(shift=("06:00", "12:00"))],
            "shelves": [{"id": "rack", "zone": "ambient", "levels": levels}],
        },
        policy={"ready_margin_min": 0},
    )


@pytest.mark.parametrize(
    ("levels", "words", "shelved"),
    [
        ([3], "Have one more level in rack: 3 slots more.", [3, 3]),
        ([1], "Have 3 more levels in rack: 3 slots more.", [1, 1, 1, 1]),
        ([1, 2], "Have one more level in rack: 2 slots more.", [1, 2, 2]),
        ([2, 1], "Have one more level in rack: 2 slots more.", [2, 1, 2]),
    ],
)
def test_as_many_levels_are_offered_as_are_needed(
    levels: list[int], words: str, shelved: list[int]
) -> None:
    """Tests that one is not offered where only some will do, nor more than that."""
    plan = planned(read_day(crowded(levels)))
    assert plan.objective.unmet == COPIES - sum(levels)
    shelves = [each for each in plan.remedies if "level" in each.words]
    assert [each.words for each in shelves] == [words]
    assert shelves[0].change[0]["value"] == shelved
    assert shelves[0].cost == COPIES


def test_one_more_unit_is_offered_where_it_is_enough() -> None:
    """Tests a unit of two levels: another takes the two copies that have no slot."""
    plan = planned(read_day(crowded([1, 1])))
    units = [each for each in plan.remedies if "unit" in each.words]
    assert [each.words for each in units] == ["Have one more shelf unit like rack: 2 slots more."]
    (told,) = units[0].change
    assert told["value"] == {"id": "rack-2", "zone": "ambient", "levels": [1, 1]}


def test_a_shelf_grows_only_so_far() -> None:
    """Tests that ten levels more are not offered: that is another shelf."""
    facts = crowded([1])
    facts["demonstrations"][0]["beats"][0]["needs"][0]["count"] = 11
    plan = planned(read_day(facts))
    assert not any("level" in each.words for each in plan.remedies)


def test_others_keep_their_places_where_a_crowded_dish_is_planned_anew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Six copies for three slots: with a level of one slot more, one copy more is served.

    Nobody looks at what else might make way: that cost a hundred copies on a larger day.
    """

    def frees_others(_: Mending) -> NoReturn:
        raise AssertionError("others were planned anew")

    monkeypatch.setattr(Mending, "mended", frees_others)
    facts = crowded([3])
    tart = deepcopy(facts["demonstrations"][0]) | {"id": "tart", "title": "Tart", "code": "T"}
    tart["beats"][0]["needs"][0]["count"] = 2
    facts["demonstrations"].append(tart)
    facts["runs"].append(run("other", "12:30", "tart"))
    day_before = read_day(facts)
    plan = solve(day_before)
    facts["kitchen"]["shelves"][0]["levels"] = [3, 1]
    larger = read_day(facts)
    watch = Watch(None, still, never, nobody)
    mended = mended_for(larger, plan, ["take"], watch, crowded=True)
    assert audit(larger, mended) == []
    assert mended.objective.unmet == plan.objective.unmet - 1


def test_what_is_not_made_yet_is_not_thrown_away() -> None:
    """A spare loaf will stand there whatever comes: with a slot less something has to lack."""
    loaf = stage("loaf", way(), zone="ambient", loss=0.05)
    told = day(
        [loaf, stage("cake", way(), zone="ambient")],
        [beat("show", 0, 60, {"loaf": 1, "cake": 1}, {})],
        [run("take", "12:00")],
        policy={"confidence": 0.99},
    )
    slots = [_beside_a_rack(told, levels) for levels in ([1, 1, 1], [1, 1])]
    plan = solve(slots[0])
    assert [copy.role for copy in plan.copies] == ["camera", "spare", "camera"]
    mended = mended_for(slots[1], plan, (), Watch(None, still, never, nobody), crowded=True)
    assert audit(slots[1], mended) == []
    assert mended.objective.unmet == 1


def _beside_a_rack(told: Facts, levels: list[int]) -> Day:
    """Return a day on which all is made by twenty to twelve, and waits on a rack."""
    rack = {"id": "rack", "zone": "ambient", "levels": levels}
    kitchen = {"crew": [cook(shift=("08:00", "11:40"))], "shelves": [rack]}
    return read_day(told | {"kitchen": kitchen})
