"""Where copies stand and from when to when, who shares a slot, and what is above what."""

import pytest

from tests.planning.drafts import Draft, Facts, beat, codes, cook, day, run, stage

RACK = {"id": "rack", "zone": "ambient", "levels": [2, 3]}
FRIDGE = {"id": "cold", "zone": "chill", "levels": [1, 1, 1]}
MADE = ("09:00", "09:10", "ada")


def _day(*runs: Facts, leaves: int = 0, need: Facts | None = None, **of_stage: object) -> Facts:
    show = beat("show", 0, 60, {"dough": need or {"count": 1}}, {"dough": 1} if leaves else {})
    facts = day([stage("dough", **of_stage)], [show], list(runs) or [run("t1", "10:00")])
    return facts | {"kitchen": {"crew": [cook()], "shelves": [RACK, FRIDGE]}}


def _waiting(spot: str = "rack/1/1", starts: str = "09:10", ends: str = "09:50") -> set[str]:
    draft = Draft(_day()).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1")
    return draft.place("d1", spot, starts, ends).broken()


def test_a_copy_stands_from_staged_until_it_is_taken() -> None:
    assert _waiting() == set()
    for starts, ends in (("09:11", "09:50"), ("09:09", "09:50"), ("09:10", "09:49")):
        assert _waiting(starts=starts, ends=ends) == {"shelf"}
    assert _waiting(ends="10:00") == {"shelf"}
    assert _waiting(starts="09:50", ends="09:10") == {"shelf"}


@pytest.mark.parametrize(
    "spot", ["cold/1/1", "none/1/1", "rack/0/1", "rack/3/1", "rack/1/3", "rack/1/0", "rack/-1/1"]
)
def test_a_copy_stands_in_its_zone_and_in_a_slot_that_is_there(spot: str) -> None:
    assert _waiting(spot) == {"shelf"}


def test_a_copy_that_waits_has_a_place() -> None:
    draft = Draft(_day()).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1")
    assert draft.broken() == {"shelf"}


def test_a_copy_is_not_moved_while_it_waits() -> None:
    for second, expected in (("rack/1/1", set()), ("rack/1/2", {"shelf"})):
        draft = Draft(_day()).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1")
        draft.place("d1", "rack/1/1", "09:10", "09:30").place("d1", second, "09:30", "09:50")
        assert draft.broken() == expected


def test_a_zone_without_shelves_is_not_placed() -> None:
    facts = _day(zone="hot")
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1")
    assert draft.broken() == set()
    assert draft.place("d1", "rack/1/1", "09:10", "09:50").broken() == {"shelf"}


def test_a_copy_taken_at_once_takes_no_room() -> None:
    draft = Draft(_day()).batch("b1", "loaf/dough", "d1", ("09:40", "09:50", "ada"))
    assert draft.use("t1/show/dough", "d1").broken() == set()


def test_a_copy_that_is_handed_back_stands_again_from_its_return() -> None:
    """Tests return 5 after the end of the beat at 10:01, and the second run at 12:00."""
    facts = _day(run("t1", "10:00"), run("t2", "12:00"), leaves=1)
    for back, expected in (("10:06", set()), ("10:01", {"shelf"})):
        draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE)
        draft.use("t1/show/dough", "d1").use("t2/show/dough", "d1")
        draft.place("d1", "rack/1/1", "09:10", "09:50").place("d1", "rack/2/3", back, "11:50")
        assert draft.broken() == expected


def test_stock_takes_no_room_before_the_prep() -> None:
    entry = {"id": "old", "demonstration": "loaf", "stage": "dough", "count": 1}
    facts = _day(keeps_min=1440) | {"stock": [entry | {"staged": "2027-03-04T03:00"}]}
    for starts, expected in (("06:00", set()), ("03:00", {"shelf"})):
        draft = Draft(facts).stock("d1", "loaf/dough", "old", "03:00").use("t1/show/dough", "d1")
        assert draft.place("d1", "rack/1/1", starts, "09:50").broken() == expected


def test_what_is_handed_over_on_set_needs_no_place() -> None:
    """Tests that it may also be told as standing in the kitchen between return and margin."""
    mix = beat("mix", 0, 60, {}, {"dough": 1})
    show = beat("show", 1800, 60, {"dough": 1}, {})
    facts = day([stage("dough")], [mix, show], [run("t1", "10:00")])
    facts["kitchen"]["shelves"] = [RACK]
    draft = Draft(facts).left("d1", "loaf/dough", "t1/mix", "10:01").use("t1/show/dough", "d1")
    assert draft.broken() == set()
    assert draft.place("d1", "rack/1/1", "10:06", "10:20").broken() == set()
    assert draft.place("d1", "rack/1/1", "10:20", "10:30").broken() == {"shelf"}


def _backing(*places: tuple[str, str]) -> set[str]:
    need = {"count": 1, "backups": 1}
    draft = Draft(_day(need=need)).batch("b1", "loaf/dough", "d1 d2", MADE)
    draft.use("t1/show/dough", "d1", "d2").place("d1", "rack/1/1", "09:10", "09:50")
    for starts, ends in places:
        draft.place("d2", "rack/1/2", starts, ends)
    return draft.broken()


def test_a_backup_stands_until_its_use_starts_or_longer() -> None:
    assert _backing(("09:10", "10:00")) == set()
    assert _backing(("09:10", "12:00")) == set()
    assert _backing(("09:10", "09:59")) == {"shelf"}
    assert _backing() == {"shelf"}


def test_a_backup_that_is_taken_later_stands_until_then() -> None:
    """Tests a copy that backs a use at 11:55 and is due at 11:50 for the one at 12:00."""
    show = beat("show", 0, 60, {"dough": {"count": 1, "backups": 1}}, {})
    eat = beat("eat", 0, 60, {"dough": 1}, {})
    runs = [run("t1", "11:55", beats=["show"]), run("t2", "12:00", beats=["eat"])]
    facts = day([stage("dough")], [show, eat], runs)
    facts["kitchen"]["shelves"] = [RACK]
    for ends, expected in (("11:55", set()), ("12:00", set()), ("11:50", {"shelf"})):
        draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE)
        draft.use("t1/show/dough", "d1", "d2").use("t2/eat/dough", "d2")
        draft.place("d1", "rack/1/1", "09:10", "11:45").place("d2", "rack/1/2", "09:10", ends)
        assert draft.broken() == expected


def _spare(ends: str, keeps_min: int = 240, dry: bool = True) -> set[str]:
    facts = _day(run("t1", "10:00"), keeps_min=keeps_min, loss=0.04)
    if dry:
        facts["runs"].append(run("t2", "11:00", dry=True))
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE).use("t1/show/dough", "d1")
    draft.place("d1", "rack/1/1", "09:10", "09:50").place("d2", "rack/1/2", "09:10", ends)
    return draft.broken()


def test_a_spare_stands_until_its_keeping_time_or_the_end_of_the_production() -> None:
    """Tests that the production ends with its last beat, a dry run's included."""
    assert _spare("10:01", dry=False) == set()
    assert _spare("11:01") == set()
    assert _spare("11:00") == {"shelf"}
    assert _spare("10:10", keeps_min=60) == set()
    assert _spare("11:01", keeps_min=60) == {"shelf"}


def test_only_copies_of_one_batch_share_a_slot() -> None:
    need = {"count": 2}
    facts = _day(need=need, copies_per_slot=2)
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE).use("t1/show/dough", "d1 d2")
    draft.place("d1", "rack/1/1", "09:10", "09:50").place("d2", "rack/1/1", "09:10", "09:50")
    assert draft.broken() == set()
    apart = Draft(facts).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1 d2")
    apart.batch("b2", "loaf/dough", "d2", ("09:10", "09:20", "ada"))
    apart.place("d1", "rack/1/1", "09:10", "09:50").place("d2", "rack/1/1", "09:20", "09:50")
    assert apart.broken() == {"shelf"}


def test_only_what_one_beat_left_shares_a_slot() -> None:
    mix = beat("mix", 0, 60, {}, {"dough": 2})
    show = beat("show", 0, 60, {"dough": 2}, {})
    runs = [run(f"t{n}", "10:00", beats=["mix"]) for n in (1, 2)]
    facts = day([stage("dough", copies_per_slot=2)], [mix, show], runs)
    facts["runs"].append(run("t3", "12:00", beats=["show"]))
    facts["kitchen"]["shelves"] = [RACK]
    for other, expected in (("t1", set()), ("t2", {"shelf"})):
        draft = Draft(facts).use("t3/show/dough", "d1 d2")
        for copy, by in (("d1", "t1"), ("d2", other)):
            draft.left(copy, "loaf/dough", f"{by}/mix", "10:01")
            draft.place(copy, "rack/1/1", "10:06", "11:50")
        assert draft.broken() == expected


def test_a_slot_holds_as_many_as_it_says() -> None:
    for fits, expected in ((2, set()), (1, {"shelf"}), (None, {"shelf"})):
        facts = _day(need={"count": 2}, copies_per_slot=fits)
        draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE).use("t1/show/dough", "d1 d2")
        draft.place("d1", "rack/1/1", "09:10", "09:50").place("d2", "rack/1/1", "09:10", "09:50")
        assert draft.broken() == expected


def test_a_slot_is_free_the_minute_it_is_left() -> None:
    facts = _day(run("t1", "10:00"), run("t2", "12:00"))
    for starts, expected in (("09:50", set()), ("09:49", {"shelf"})):
        made = f"09:{int(starts[3:]) - 10}", starts, "ada"
        draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1")
        draft.batch("b2", "loaf/dough", "d2", made).use("t2/show/dough", "d2")
        draft.place("d1", "rack/1/1", "09:10", "09:50").place("d2", "rack/1/1", starts, "11:50")
        assert draft.broken() == expected


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("rack/1/1", "rack/2/1", set()),
        ("rack/1/1", "rack/2/2", set()),
        ("rack/1/2", "rack/2/1", {"shelf"}),
        ("rack/2/1", "rack/2/2", {"shelf"}),
        ("rack/2/1", "rack/2/3", {"shelf"}),
    ],
)
def test_a_wide_copy_takes_slots_side_by_side(first: str, second: str, expected: set[str]) -> None:
    """Tests copies of two slots on levels of two and three."""
    draft = Draft(_day(need={"count": 2}, slots=2)).batch("b1", "loaf/dough", "d1 d2", MADE)
    draft.use("t1/show/dough", "d1 d2")
    draft.place("d1", first, "09:10", "09:50").place("d2", second, "09:10", "09:50")
    assert draft.broken() == expected


def _proofed(zone: str | None = "chill", fits: int = 1) -> Draft:
    phase = {"lasts_min": 40, "zone": zone}
    way = {"id": "way", "batch_max": 4, "phases": [phase]}
    facts = _day(need={"count": 2}, copies_per_slot=fits)
    facts["demonstrations"][0]["stages"][0]["ways"] = [way]
    return (
        Draft(facts)
        .batch("b1", "loaf/dough", "d1 d2", ("09:10", "09:50"))
        .use("t1/show/dough", "d1 d2")
    )


def test_a_phase_with_a_zone_takes_room_as_the_stage_that_it_makes() -> None:
    two = _proofed().in_phase("b1", 0, "cold/1/1", 1).in_phase("b1", 0, "cold/2/1", 1)
    assert two.broken() == set()
    assert _proofed(fits=2).in_phase("b1", 0, "cold/1/1", 2).broken() == set()
    assert _proofed().in_phase("b1", 0, "cold/1/1", 2).broken() == {"shelf"}
    assert _proofed().in_phase("b1", 0, "cold/1/1", 1).broken() == {"shelf"}
    assert _proofed().broken() == {"shelf"}
    twice = _proofed().in_phase("b1", 0, "cold/1/1", 1).in_phase("b1", 0, "cold/1/1", 1)
    assert twice.broken() == {"shelf"}


def test_a_phase_stands_in_its_own_zone_for_all_its_time() -> None:
    draft = _proofed(fits=2).in_phase("b1", 0, "rack/1/1", 2)
    assert draft.broken() == {"shelf"}
    draft = _proofed(fits=2).in_phase("b1", 0, "cold/1/1", 2)
    draft.batches[0]["phases"][0]["places"][0]["to"] = "2027-03-04T09:49"
    assert draft.broken() == {"shelf"}
    assert _proofed(None).broken() == set()
    assert _proofed(None, 2).in_phase("b1", 0, "rack/1/1", 2).broken() == {"shelf"}
    assert _proofed("hot").broken() == set()


def _above(upper: Facts, lower: Facts, apart: bool = False) -> set[str]:
    """Return what is broken with one stage on level 1 of the fridge and another on level 2."""
    stages = [stage("up", zone="chill", **upper), stage("low", zone="chill", **lower)]
    beats = [beat("one", 0, 60, {"up": 1}, {}), beat("two", 0, 60, {"low": 1}, {})]
    runs = [run("t1", "10:00", beats=["one"]), run("t2", "12:00", beats=["two"])]
    facts = day(stages, beats, runs) | {"kitchen": {"crew": [cook()], "shelves": [FRIDGE]}}
    made = ("09:40", "09:50") if apart else ("09:10", "09:20")
    draft = Draft(facts).batch("b1", "loaf/up", "u1", MADE).use("t1/one/up", "u1")
    draft.batch("b2", "loaf/low", "l1", (*made, "ada")).use("t2/two/low", "l1")
    draft.place("u1", "cold/1/1", "09:10", "09:50").place("l1", "cold/2/1", made[1], "11:50")
    return draft.broken()


RAW, READY = {"raw_animal": True}, {"ready_to_eat": True}


@pytest.mark.parametrize(
    ("upper", "lower", "expected"),
    [
        (RAW, READY, {"shelf"}),
        (READY, RAW, set()),
        (RAW, {}, set()),
        ({}, READY, set()),
        (RAW | {"cook_to_c": 74}, RAW | {"cook_to_c": 63}, {"shelf"}),
        (RAW | {"cook_to_c": 63}, RAW | {"cook_to_c": 74}, set()),
        (RAW | {"cook_to_c": 63}, RAW | {"cook_to_c": 63}, set()),
        (RAW | {"cook_to_c": 74}, RAW, set()),
        (RAW | {"cook_to_c": 74}, {"cook_to_c": 63}, set()),
        ({"cook_to_c": 74}, RAW | {"cook_to_c": 63}, set()),
    ],
)
def test_raw_food_stands_below(upper: Facts, lower: Facts, expected: set[str]) -> None:
    """Food Code 3-302.11; the order by cooking temperature is a teaching convention."""
    assert _above(upper, lower) == expected


def test_raw_food_may_have_stood_above_before() -> None:
    assert _above(RAW, READY, apart=True) == set()


def test_raw_food_in_a_phase_stands_below_too() -> None:
    """Tests that what rests in the chill as part of its making counts as what it becomes."""
    cure = {"id": "way", "batch_max": 1, "phases": [{"lasts_min": 40, "zone": "chill"}]}
    stages = [stage("fish", cure, zone="hot", **RAW), stage("cream", zone="chill", **READY)]
    beats = [beat("one", 0, 60, {"fish": 1}, {}), beat("two", 0, 60, {"cream": 1}, {})]
    runs = [run("t1", "10:00", beats=["one"]), run("t2", "12:00", beats=["two"])]
    facts = day(stages, beats, runs) | {"kitchen": {"crew": [cook()], "shelves": [FRIDGE]}}
    for level, expected in ((2, set()), (1, {"shelf"})):
        draft = Draft(facts).batch("b1", "loaf/fish", "f1", ("09:10", "09:50"))
        draft.batch("b2", "loaf/cream", "c1", MADE).use("t1/one/fish", "f1")
        draft.use("t2/two/cream", "c1").in_phase("b1", 0, f"cold/{level}/1", 1)
        draft.place("c1", f"cold/{3 - level}/1", "09:10", "11:50")
        assert draft.broken() == expected


def test_a_place_of_one_copy_is_for_one() -> None:
    draft = Draft(_day()).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1")
    plan = draft.place("d1", "rack/1/1", "09:10", "09:50").document()
    plan["copies"][0]["places"][0]["copies"] = 2
    assert codes(draft.day, plan) == {"shelf"}
