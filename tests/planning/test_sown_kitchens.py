"""Days of a few copies that catch what a bug sown into the rules of the kitchen would change."""

import pytest

from tests.planning.drafts import Facts, beat, cook, day, run, stage, way
from tests.planning.planned import figures


def bakes(*ovens: Facts, crew: int = 1, **rest: Facts) -> Facts:
    """Return a kitchen with some ovens."""
    cooks = [cook(f"cook-{i}") for i in range(crew)]
    return {"crew": cooks, "equipment": list(ovens), **rest}


def oven(units: int = 1, **rest: object) -> Facts:
    """Return an oven."""
    return {"id": "oven", "kind": "oven", "units": units, **rest}


def baked(setting: int, lasts_min: int = 10, **units: int) -> Facts:
    """Return a phase in an oven, without hands."""
    use = {"kind": "oven", "setting": setting, **(units or {"per_batch": 1})}
    return {"lasts_min": lasts_min, "equipment": [use]}


def by(*phases: Facts, most: int = 12) -> Facts:
    """Return a way of some phases."""
    return {"id": "way", "batch_max": most, "phases": list(phases)}


def shown(stages: list[Facts], starts: str, kitchen: Facts, **needs: object) -> Facts:
    """Return a day on which a take shows one of each stage, with no margin."""
    wanted = needs or {each["id"]: 1 for each in stages}
    return day(
        stages,
        [beat("show", 0, 60, wanted, {})],
        [run("take", starts)],
        kitchen=kitchen,
        policy={"ready_margin_min": 0},
    )


@pytest.mark.parametrize(("starts", "unmet"), [("06:15", 0), ("06:14", 1)])
def test_a_cold_oven_takes_its_time(starts: str, unmet: int) -> None:
    """Five minutes of heat from 06:00, ten of baking, mixing before it being short."""
    mixed = {"lasts_min": 1}
    stages = [stage("done", by(mixed, baked(200)))]
    facts = shown(stages, starts, bakes(oven(settings={"change_min": 5})))
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("starts", "unmet"), [("06:30", 0), ("06:29", 1)])
def test_from_setting_to_setting_takes_time(starts: str, unmet: int) -> None:
    """Heat 5, bake 10, change 5, bake 10."""
    stages = [stage("bread", by(baked(200))), stage("cake", by(baked(160)))]
    facts = shown(stages, starts, bakes(oven(2, settings={"change_min": 5})))
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("starts", "unmet"), [("06:40", 0), ("06:39", 1)])
def test_a_falling_oven_is_for_one_batch(starts: str, unmet: int) -> None:
    """Two batches, ten minutes hot and ten less hot each: the second can't join in any part."""
    falling = by(baked(200), baked(160), most=1)
    facts = shown(
        [stage("done", falling)], starts, bakes(oven(2, settings={"change_min": 0})), done=2
    )
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("starts", "unmet"), [("06:35", 0), ("06:34", 1)])
def test_nothing_bakes_while_an_oven_is_closed(starts: str, unmet: int) -> None:
    """Closed from 06:05 to 06:25."""
    closed = [["2027-03-04T06:05", "2027-03-04T06:25"]]
    facts = shown([stage("done", by(baked(200)))], starts, bakes(oven(closed=closed)))
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("copies", "starts"), [(3, "06:10"), (6, "06:20")])
def test_an_oven_holds_so_many_copies_at_once(copies: int, starts: str) -> None:
    """Of two units one is for the batch, one for three copies: three by 06:10, six by 06:20."""
    way_in = by(baked(200, per_batch=1, copies_per_unit=3))
    kitchen = bakes(oven(2))
    assert figures(shown([stage("done", way_in)], starts, kitchen, done=copies))[0] == 0
    assert figures(shown([stage("done", way_in)], starts, kitchen, done=copies + 1))[0] == 1


@pytest.mark.parametrize(("crew", "starts"), [(1, "06:20"), (2, "06:10")])
def test_a_cook_does_one_thing_at_a_time(crew: int, starts: str) -> None:
    """Two batches of ten minutes each."""
    stages = [stage("done", way(10, most=1))]
    late = starts[:-2] + ("19" if crew == 1 else "09")
    assert figures(shown(stages, starts, bakes(crew=crew), done=2))[0] == 0
    assert figures(shown(stages, late, bakes(crew=crew), done=2))[0] >= 1


@pytest.mark.parametrize(("starts", "unmet"), [("06:20", 0), ("06:19", 1)])
def test_two_hands_are_two_cooks(starts: str, unmet: int) -> None:
    """Two cooks lift together, twice; that is forty minutes of hands."""
    stages = [stage("done", way(10, most=1, hands=2))]
    told = figures(shown(stages, starts, bakes(crew=2), done=2))
    assert (told[0], told[3]) == (unmet, 40 - 20 * unmet)


def test_a_skill_is_somebodys() -> None:
    """Of two cooks one is skilled, and does both."""
    stages = [stage("done", way(10, most=1, skill="pastry"))]
    crew = [cook("ada", skills=["pastry"]), cook("bo", ("06:00", "20:01"))]
    assert figures(shown(stages, "06:20", {"crew": crew}, done=2))[0] == 0
    assert figures(shown(stages, "06:19", {"crew": crew}, done=2))[0] == 1
