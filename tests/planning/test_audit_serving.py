"""Who serves which need: copies, lacks, stations, dry runs, one taker at a time."""

import pytest

from tests.planning.drafts import Draft, Facts, beat, cook, day, run, stage

SHOW = beat("show", 0, 60, {"dough": 2}, {})
MADE = ("09:40", "09:50", "ada")


def _two(**of_run: object) -> Draft:
    facts = day([stage("dough")], [SHOW], [run("t1", "10:00", **of_run)])
    return Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE)


def test_a_need_has_its_copies_or_says_what_it_lacks() -> None:
    assert _two().use("t1/show/dough", "d1 d2").broken() == set()
    facts = day([stage("dough")], [SHOW], [run("t1", "10:00")])
    one = Draft(facts).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1")
    assert one.broken() == {"unserved"}
    assert one.lack("t1/show/dough", "copies", 1).broken() == set()


def test_a_lack_that_is_none_is_told() -> None:
    draft = _two().use("t1/show/dough", "d1 d2").lack("t1/show/dough", "copies", 1)
    assert draft.broken() == {"unserved"}


def test_a_need_without_any_use_counts_as_wholly_lacking() -> None:
    """Tests that a need may be left out of the uses only where all of it is under `unmet`."""
    draft = Draft(day([stage("dough")], [SHOW], [run("t1", "10:00")]))
    assert draft.broken() == {"unserved"}
    assert draft.lack("t1/show/dough", "copies", 2).broken() == set()


def test_a_need_takes_no_more_than_it_needs() -> None:
    facts = day([stage("dough")], [SHOW], [run("t1", "10:00")])
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2 d3", MADE)
    assert draft.use("t1/show/dough", "d1 d2 d3").broken() == {"unserved"}


def test_a_lack_of_nothing_and_a_lack_that_nobody_asked_for() -> None:
    for need in ("t1/show/scone", "t9/show/dough"):
        draft = _two().use("t1/show/dough", "d1 d2").lack(need, "copies", 1)
        assert draft.broken() == {"unserved"}
    draft = _two().use("t1/show/dough", "d1 d2").lack("t1/show/dough", "copies", 0)
    assert draft.broken() == {"unserved"}


def test_a_use_that_the_day_does_not_know() -> None:
    draft = _two().use("t1/show/dough", "d1 d2").use("t1/eat/dough")
    assert draft.broken() == {"unserved"}


def test_a_use_written_down_twice() -> None:
    draft = _two().use("t1/show/dough", "d1 d2").use("t1/show/dough", "")
    assert draft.broken() == {"unserved"}


def test_a_dry_run_needs_nothing() -> None:
    """Tests that what serves a dry run is told, and that without it the plan is empty."""
    facts = day([stage("dough")], [SHOW], [run("t1", "10:00", dry=True)])
    assert Draft(facts).broken() == set()
    assert "unserved" in _two(dry=True).use("t1/show/dough", "d1 d2").broken()


@pytest.mark.parametrize(
    ("kinds", "beats", "needed"),
    [
        (["stills"], None, False),
        (["take"], None, True),
        (["stills"], ["show"], True),
        (None, [], False),
    ],
)
def test_a_run_has_the_beats_of_its_kind_or_its_list_as_it_stands(
    kinds: list[str] | None, beats: list[str] | None, needed: bool
) -> None:
    show = SHOW | {"kinds": kinds}
    facts = day([stage("dough")], [show], [run("t1", "10:00", beats=beats)])
    assert Draft(facts).broken() == ({"unserved"} if needed else set())


def test_stations_multiply_what_is_needed_unless_the_need_says_not() -> None:
    for per_station, count in ((True, 6), (False, 2)):
        show = beat("show", 0, 60, {"dough": {"count": 2, "per_station": per_station}}, {})
        facts = day([stage("dough")], [show], [run("t1", "10:00", stations=3)])
        copies = " ".join(f"d{n}" for n in range(count))
        draft = Draft(facts).batch("b1", "loaf/dough", copies, MADE)
        assert draft.use("t1/show/dough", copies).broken() == set()


def test_a_copy_of_another_stage_serves_nothing() -> None:
    facts = day([stage("dough"), stage("batter")], [SHOW], [run("t1", "10:00")])
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE)
    draft.batch("b2", "loaf/batter", "x1", ("09:30", "09:40", "ada"))
    draft.use("t1/show/dough", "d1 x1").lack("t1/show/dough", "copies", 1)
    assert draft.broken() == {"unserved"}


def _shared(leaves: dict[str, int], second: str = "12:00", **policy: object) -> Draft:
    """Return a copy that a run at 10:00 and another run both take."""
    show = beat("show", 0, 60, {"dough": 1}, leaves)
    runs = [run("t1", "10:00"), run("t2", second)]
    facts = day([stage("dough")], [show], runs, policy=policy)
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE)
    return draft.use("t1/show/dough", "d1").use("t2/show/dough", "d1")


def test_what_is_used_up_serves_nobody_after() -> None:
    assert _shared({"dough": 1}).broken() == set()
    assert _shared({}).broken() == {"double"}


def test_one_copy_is_not_in_two_beats_at_once() -> None:
    assert _shared({"dough": 1}, second="10:00").broken() == {"double", "late"}


def test_without_reuse_nothing_goes_to_another_run() -> None:
    assert _shared({"dough": 1}, reuse=False).broken() == {"double"}


def _within(reuse: bool) -> Draft:
    first = beat("first", 0, 60, {"dough": 1}, {"dough": 1})
    then = beat("then", 60, 60, {"dough": 1}, {})
    runs = [run("t1", "10:00")]
    facts = day([stage("dough")], [first, then], runs, policy={"reuse": reuse})
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE)
    return draft.use("t1/first/dough", "d1").use("t1/then/dough", "d1")


def test_without_reuse_a_copy_still_goes_on_within_its_run() -> None:
    assert _within(reuse=False).broken() == set()


def _beaten(needs: Facts, leaves: Facts) -> Facts:
    """Return a day where a beat at 10:00 leaves things for a batch and a run at 12:00."""
    mix = beat("mix", 0, 60, needs, leaves)
    eat = beat("eat", 0, 60, {"baked": 1}, {})
    baked = stage("baked", **{"from": [{"stage": "dough"}]})
    runs = [run("t1", "10:00", beats=["mix"]), run("t2", "12:00", beats=["eat"])]
    return day([stage("dough"), baked], [mix, eat], runs)


def _baked_after(facts: Facts, copies: str, taken: str) -> Draft:
    draft = Draft(facts).batch("b1", "loaf/dough", copies, MADE)
    draft.batch("b2", "loaf/baked", "k1", ("10:30", "10:40", "ada"), takes=taken)
    draft.kin["k1"] = taken
    return draft.use("t2/eat/baked", "k1")


def test_a_batch_takes_what_a_beat_handed_back_but_not_what_it_used_up() -> None:
    for back, expected in ((1, set()), (0, {"double"})):
        facts = _beaten({"dough": 1}, {"dough": 1} if back else {})
        draft = _baked_after(facts, "d1", "d1").use("t1/mix/dough", "d1")
        assert draft.broken() == expected


def test_a_beat_hands_back_as_many_as_it_leaves() -> None:
    """Tests that of two copies only one goes on where the beat leaves one."""
    show = beat("show", 0, 60, {"dough": 2}, {"dough": 1})
    runs = [run("t1", "10:00"), run("t2", "12:00")]
    facts = day([stage("dough")], [show], runs)
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2 d3", MADE)
    draft.use("t1/show/dough", "d1 d2").use("t2/show/dough", "d1 d3")
    assert draft.broken() == set()
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE)
    draft.use("t1/show/dough", "d1 d2").use("t2/show/dough", "d1 d2")
    assert draft.broken() == {"double"}


def test_a_batch_uses_up_what_it_takes() -> None:
    facts = _beaten({"dough": 1}, {"dough": 1})
    draft = _baked_after(facts, "d1", "d1").use("t1/mix/dough", "")
    draft.lack("t1/mix/dough", "copies", 1)
    assert draft.broken() == set()
    facts["runs"][0]["starts"] = "2027-03-04T11:00"
    draft = _baked_after(facts, "d1", "d1").use("t1/mix/dough", "d1")
    assert draft.broken() == {"double"}


def test_one_copy_named_twice_is_one_copy() -> None:
    draft = _two().use("t1/show/dough", "d1 d1").lack("t1/show/dough", "copies", 1)
    draft.batches[0]["copies"] = ["d1"]
    del draft.copies["d2"]
    assert draft.broken() == {"double"}


def test_two_batches_do_not_take_one_copy() -> None:
    baked = stage("baked", **{"from": [{"stage": "dough"}]})
    eat = beat("eat", 0, 60, {"baked": 2}, {})
    kitchen = {"crew": [cook(), cook("bea")]}
    facts = day([stage("dough"), baked], [eat], [run("t1", "12:00")], kitchen=kitchen)
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE).use("t1/eat/baked", "k1 k2")
    draft.batch("b2", "loaf/baked", "k1", ("10:00", "10:10", "ada"), takes="d1")
    draft.batch("b3", "loaf/baked", "k2", ("10:00", "10:10", "bea"), takes="d1")
    draft.kin = {"k1": "d1", "k2": "d1"}
    assert draft.broken() == {"double"}
