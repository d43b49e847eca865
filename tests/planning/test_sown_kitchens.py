"""Days of a few copies that catch what a bug sown into the rules of the kitchen would change."""

from copy import deepcopy

import pytest

from app.planning import joining
from app.planning.audit import audit
from app.planning.reading import read_day
from app.planning.solve import solve
from tests.planning.drafts import Facts, at, beat, cook, day, run, stage, way
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


@pytest.mark.parametrize(
    ("units", "per_batch", "copies"), [(2, 1, 3), (3, 1, 6), (1, 0, 3), (2, 0, 6)]
)
def test_an_oven_holds_so_many_copies_at_once(units: int, per_batch: int, copies: int) -> None:
    """Three copies fill a unit, and a batch may take one for itself; there is time for one."""
    way_in = by(baked(200, per_batch=per_batch, copies_per_unit=3))
    stages, kitchen = [stage("done", way_in)], bakes(oven(units))
    assert figures(shown(stages, "06:10", kitchen, done=copies))[0] == 0
    assert figures(shown(stages, "06:10", kitchen, done=copies + 1))[0] == 1


def test_an_oven_is_at_one_setting_to_the_end_of_a_phase() -> None:
    """Bread for 06:45 would bake to the last minute; cake for 07:00 has the oven from 06:30."""
    facts = day(
        [stage("bread", by(baked(200, 20))), stage("cake", by(baked(160, 30)), keeps_min=5)],
        [beat("first", 0, 60, {"bread": 1}, {}), beat("second", 900, 60, {"cake": 1}, {})],
        [run("take", "06:45")],
        kitchen=bakes(oven(2, settings={"change_min": 0})),
        policy={"ready_margin_min": 0},
    )
    assert figures(facts) == (0, 0, 2, 0, 15)


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


def waits(stages: list[Facts], needs: Facts, *levels: int) -> Facts:
    """Return a day on which all is made by noon and waits on one shelf unit, half an hour."""
    return day(
        stages,
        [beat("show", 0, 60, needs, {})],
        [run("take", "12:30")],
        kitchen={
            "crew": [cook(shift=("06:00", "12:00"))],
            "shelves": [{"id": "rack", "zone": "ambient", "levels": list(levels)}],
        },
        policy={"ready_margin_min": 0},
    )


@pytest.mark.parametrize(("slots", "unmet"), [(3, 0), (2, 1)])
def test_what_waits_has_a_slot(slots: int, unmet: int) -> None:
    """Three copies for one beat."""
    assert figures(waits([stage("done")], {"done": 3}, slots))[0] == unmet


@pytest.mark.parametrize(("levels", "unmet"), [((2, 1, 2), 0), ((2, 1, 1), 1)])
def test_a_wide_copy_stands_on_one_level(levels: tuple[int, ...], unmet: int) -> None:
    """Two copies of two slots each: levels of one slot are of no use to them, which is proven."""
    told = figures(waits([stage("done", slots=2)], {"done": 2}, *levels))
    assert told[0] == unmet


@pytest.mark.parametrize(("levels", "unmet"), [((1, 2), 0), ((2, 1), 1)])
def test_raw_stands_below_what_is_ready_to_eat(levels: tuple[int, int], unmet: int) -> None:
    """A raw copy takes two slots: on the upper level, nothing ready to eat may stand below."""
    raw = stage("raw", slots=2, raw_animal=True, cook_to_c=74)
    stages = [raw, stage("ready", ready_to_eat=True)]
    facts = waits(stages, {"raw": 1, "ready": 1}, *levels)
    assert figures(facts, proven=unmet == 0)[0] == unmet


@pytest.mark.parametrize(("slots", "unmet"), [(2, 0), (1, 1)])
def test_a_spare_has_a_slot_too(slots: int, unmet: int) -> None:
    """One in ten is lost: a spare is made, and stands beside the copy."""
    assert figures(waits([stage("done", loss=0.1)], {"done": 1}, slots))[0] == unmet


@pytest.mark.parametrize(("slots", "unmet"), [(2, 0), (1, 1)])
def test_copies_that_share_fill_a_slot(slots: int, unmet: int) -> None:
    """Two to a slot, three for one beat: in one slot two of them."""
    told = figures(waits([stage("done", copies_per_slot=2)], {"done": 3}, slots))
    assert told[0] == unmet


@pytest.mark.parametrize(("slots", "unbacked"), [(2, 0), (1, 1)])
def test_a_backup_has_a_slot_too(slots: int, unbacked: int) -> None:
    """One on camera, one behind it."""
    told = figures(waits([stage("done")], {"done": {"backups": 1}}, slots))
    assert told[:2] == (0, unbacked)


@pytest.mark.parametrize(("slots", "unmet"), [(2, 0), (1, 1)])
def test_what_waits_for_a_batch_has_a_slot(slots: int, unmet: int) -> None:
    """Two doughs are made by noon and baked, without hands, for half past."""
    dough = stage("dough", zone="chill")
    bread = stage("bread", way(10, hands=0), keeps_min=5, **{"from": [{"stage": "dough"}]})
    facts = waits([dough, bread], {"bread": 2}, 4)
    facts["kitchen"]["shelves"].append({"id": "cold", "zone": "chill", "levels": [slots]})
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("starts", "unmet"), [("07:00", 0), ("06:59", 1)])
def test_a_phase_that_takes_room_has_a_slot(starts: str, unmet: int) -> None:
    """Two batches of one cool for half an hour each, in the only slot that there is."""
    cooled = by({"lasts_min": 30, "zone": "chill"}, most=1)
    shelves = [{"id": "cold", "zone": "chill", "levels": [1]}]
    facts = shown([stage("done", cooled)], starts, bakes(shelves=shelves), done=2)
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("closes", "unmet"), [("06:20", 0), ("06:19", 1)])
def test_a_batch_stays_in_its_oven(closes: str, unmet: int) -> None:
    """Ten minutes and ten more: one oven closes too soon, the other is not free at first."""
    early = oven(closed=[[at(closes), at("12:00")]])
    late = {**oven(closed=[[at("06:00"), at("06:10")]]), "id": "other"}
    stages = [stage("done", by(baked(200), baked(200)), keeps_min=5)]
    facts = shown(stages, "06:20", bakes(early, late))
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("comes", "unmet"), [("10:40", 0), ("10:41", 1)])
def test_a_large_batch_ends_within_the_shift(comes: str, unmet: int) -> None:
    """Five minutes, and five for each of three copies; the cook leaves long before they are due."""
    facts = day(
        [stage("done", way(5, most=3, per_copy_min=5))],
        [beat("show", 0, 60, {"done": 3}, {})],
        [run("take", "12:00")],
        kitchen={"crew": [cook(shift=(comes, "11:00"))]},
    )
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("return_min", "copies"), [(9, 2), (10, 3)])
def test_what_comes_back_is_there_before_it_is_cut(return_min: int, copies: int) -> None:
    """Shown until 12:01; the board for cutting is taken from 12:20 until the next take."""
    board = {"id": "board", "kind": "board", "units": 1}
    cutting = {"lasts_min": 10, "hands": 1, "equipment": [{"kind": "board", "per_batch": 1}]}
    facts = day(
        [stage("baked"), stage("cut", by(cutting), **{"from": [{"stage": "baked"}]})],
        [beat("shows", 0, 60, {"baked": 1}, {"baked": 1}), beat("serves", 0, 60, {"cut": 1}, {})],
        [
            run("first", "12:00", beats=["shows"], kind="pickup"),
            run("second", "13:00", beats=["serves"], kind="pickup"),
        ],
        kitchen=bakes({**board, "closed": [[at("12:20"), at("13:00")]]}),
        policy={"ready_margin_min": 0, "return_min": return_min},
    )
    assert figures(facts)[2] == copies


@pytest.mark.parametrize(("again", "heats"), [("13:30", 1), ("13:31", 2)])
def test_an_oven_stays_warm_for_so_long(again: str, heats: int) -> None:
    """What is shown at noon comes out then; the next goes in an hour later, or a minute more."""
    warm = oven(settings={"change_min": 5, "cold_after_min": 60})
    read = read_day(
        day(
            [stage("done", by(baked(200, 30), most=1), keeps_min=1)],
            [beat("show", 0, 60, {"done": 1}, {})],
            [run("first", "12:00"), run("second", again)],
            kitchen=bakes(warm),
            policy={"ready_margin_min": 0},
        )
    )
    plan = solve(read)
    assert audit(read, plan) == []
    assert len(plan.heats) == heats


@pytest.mark.parametrize(("levels", "unmet"), [((1, 2), 0), ((2, 1), 1)])
def test_raw_food_that_is_cooked_less_stands_above(levels: tuple[int, int], unmet: int) -> None:
    """What is cooked to 74 takes two slots: on the upper level, what is cooked to 63 is below."""
    less = stage("less", raw_animal=True, cook_to_c=63)
    stages = [less, stage("more", slots=2, raw_animal=True, cook_to_c=74)]
    facts = waits(stages, {"less": 1, "more": 1}, *levels)
    assert figures(facts, proven=unmet == 0)[0] == unmet


def test_two_do_no_more_than_two_things_where_one_dish_stands_already(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A loaf and two buns, ten minutes each: with two cooks, one copy is not ready by 06:10."""
    monkeypatch.setattr(joining, "WHOLE", 0)
    facts = shown([stage("done", way(10, most=1))], "06:10", bakes(crew=2))
    buns = deepcopy(facts["demonstrations"][0]) | {"id": "bun", "title": "Bun", "code": "B"}
    buns["beats"][0]["needs"][0]["count"] = 2
    facts["demonstrations"].append(buns)
    facts["runs"].append(run("other", "06:10", "bun"))
    assert figures(facts, proven=False)[0] == 1
