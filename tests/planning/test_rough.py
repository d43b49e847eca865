"""The fewest copies in a kitchen without limits: never more than a plan makes."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app.planning.day import Day, Kitchen
from app.planning.reading import read_day
from app.planning.rough import _counted, kin_of, rough_count
from tests.bench.productions import production


def test_the_knots_need_what_their_best_plan_makes(
    knots_day: Day, expected: dict[str, Any]
) -> None:
    """Tests the cost against the proven plan of the design's day, whose kitchen binds nothing."""
    rough = rough_count(knots_day, "knots")
    assert rough.state == "exact"
    assert rough.cost == expected["knots"]["cost"]
    assert dict(rough.made)["knots", "tied"] == 18


SHOPS = ("shop-", "project-")
NAMES = sorted(path.name for path in (Path(__file__).parents[1] / "golden").glob("*.day.json"))
GOLDEN = [name for name in NAMES if not name.startswith(SHOPS)]


@pytest.mark.parametrize("name", GOLDEN)
def test_no_proven_plan_costs_less(
    golden: Callable[[str], Any], expected: dict[str, Any], name: str
) -> None:
    """Tests the sum over what shares nothing against the proven cost of each golden day."""
    day, best = Day.model_validate(golden(name)), expected[name.removesuffix(".day.json")]
    kin = {kin_of(day, each.id): each.id for each in day.demonstrations}
    counted = [rough_count(day, each) for each in kin.values()]
    assert {each.state for each in counted} <= {"exact", "none"}
    if not best["unmet"] and not best["unbacked"]:
        assert sum(each.least for each in counted) <= best["cost"]


def test_a_kitchen_that_is_still_empty_does_not_matter(knots_day: Day) -> None:
    """Tests that ovens and people that nobody has entered yet are there."""
    bare = knots_day.model_copy(update={"kitchen": Kitchen()})
    assert rough_count(bare, "knots") == rough_count(knots_day, "knots")


def test_without_runs_one_take_is_counted(knots_day: Day) -> None:
    """Tests that a demonstration says what it needs before there is a rundown."""
    rough = rough_count(knots_day.model_copy(update={"runs": ()}), "knots")
    assert (rough.state, rough.imagined) == ("exact", True)
    assert 0 < rough.cost < rough_count(knots_day, "knots").cost


def test_a_demonstration_that_is_not_whole_is_not_counted(
    golden: Callable[[str], Any],
) -> None:
    """Tests a way without steps, and one without beats."""
    told = golden("knots.day.json")
    told["demonstrations"][0]["stages"][1]["ways"][0]["phases"] = []
    assert rough_count(Day.model_validate(told), "knots").state == "faulty"
    told["demonstrations"][0]["beats"] = []
    told["runs"] = []
    assert rough_count(Day.model_validate(told), "knots").state == "none"


def test_what_nobody_can_make_in_time_is_told(golden: Callable[[str], Any]) -> None:
    """Tests a stage that only a beat leaves and an earlier beat needs."""
    told = golden("knots.day.json")
    beats = told["demonstrations"][0]["beats"]
    told["demonstrations"][0]["stages"].append({"id": "torn", "keeps_min": 60})
    beats[0]["needs"].append({"stage": "torn"})
    beats[2]["leaves"] = [{"stage": "torn"}]
    told["runs"] = told["runs"][:1]
    assert rough_count(Day.model_validate(told), "knots").lacks == 1


@pytest.mark.parametrize("keeps_min", [5, 240])
def test_a_copy_that_keeps_longer_serves_more_runs(
    golden: Callable[[str], Any], keeps_min: int
) -> None:
    """Tests that how long a copy keeps is what the count turns on."""
    told = golden("knots.day.json")
    told["demonstrations"][0]["stages"][4]["keeps_min"] = keeps_min + 15
    counted = rough_count(Day.model_validate(told), "knots")
    baked = dict(counted.made)["knots", "baked"]
    assert baked == (24 if keeps_min == 5 else 18)


def test_a_count_in_haste_is_the_same_or_a_bound(golden: Callable[[str], Any]) -> None:
    """Tests what is shown before a long proof has ended, on days of every kind."""
    for name in GOLDEN:
        day = Day.model_validate(golden(name))
        for each in day.demonstrations:
            hasty, whole = (rough_count(day, each.id, in_haste=said) for said in (True, False))
            assert hasty == whole or (hasty.state == "within" and hasty.least <= whole.cost)


def test_a_count_that_nobody_waits_for_stops() -> None:
    """Tests that what is known in haste is returned, and the whole count later all the same."""
    day = read_day(production(12, 20))
    hasty = rough_count(day, "loaf-1", in_haste=True)
    asked: list[bool] = []

    def is_over() -> bool:
        asked.append(True)
        return True

    assert rough_count(day, "loaf-1", is_over=is_over) == hasty
    assert 0 < len(asked) < 10
    whole = rough_count(day, "loaf-1")
    assert (hasty.state, whole.state) == ("within", "exact")
    assert hasty.least <= whole.cost


@pytest.mark.parametrize("seed", [1, 3])
def test_all_of_a_production_is_exact_at_first(seed: int) -> None:
    """Tests that nobody waits for a second count of twelve demonstrations."""
    day = read_day(production(12, seed))
    states = {rough_count(day, each.id, in_haste=True).state for each in day.demonstrations}
    assert states == {"exact"}


def test_an_edit_of_another_demonstration_leaves_a_count() -> None:
    """Tests that what shares nothing with it can ask for new hands and skills meanwhile."""
    day = read_day(production(3, 1))
    one, other = day.demonstrations[:2]
    before = rough_count(day, one.id)
    way = other.stages[0].ways[0]
    phases = tuple(each.model_copy(update={"hands": 9, "skill": "sugar"}) for each in way.phases)
    stage = other.stages[0].model_copy(
        update={"ways": (way.model_copy(update={"phases": phases}),)}
    )
    edited = other.model_copy(update={"stages": (stage, *other.stages[1:])})
    known = _counted.cache_info().misses
    demonstrations = (one, edited, *day.demonstrations[2:])
    assert rough_count(day.model_copy(update={"demonstrations": demonstrations}), one.id) == before
    assert _counted.cache_info().misses == known
