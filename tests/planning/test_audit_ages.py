"""Margin, slack, keeping time and the hand-over on set, each met and each missed by the least."""

import pytest

from tests.planning.drafts import Draft, Facts, beat, cook, day, run, stage, way

SHOW = beat("show", 0, 60, {"dough": 1}, {})


def _one(starts: str, made: tuple[str, str], **rest: object) -> Draft:
    facts = day([stage("dough", keeps_min=70)], [SHOW], [run("t1", starts)], **rest)
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", (*made, "ada"))
    return draft.use("t1/show/dough", "d1")


def test_a_copy_stands_ready_by_the_margin() -> None:
    assert _one("10:00", ("09:40", "09:50")).broken() == set()
    assert _one("10:00", ("09:41", "09:51")).broken() == {"late"}


def test_a_run_and_a_need_have_margins_of_their_own() -> None:
    """Tests that the need's margin goes before the run's, and the run's before the policy's."""
    own = beat("show", 0, 60, {"dough": {"count": 1, "ready_margin_min": 2}}, {})
    for beats, margin in (([own], 2), ([SHOW], 20)):
        runs = [run("t1", "10:00", ready_margin_min=20)]
        facts = day([stage("dough")], beats, runs)
        for late in (0, 1):
            ends = 60 - margin + late
            made = (f"09:{ends - 10:02}", f"09:{ends:02}", "ada")
            draft = Draft(facts).batch("b1", "loaf/dough", "d1", made)
            expected = {"late"} if late else set()
            assert draft.use("t1/show/dough", "d1").broken() == expected


def test_a_copy_keeps_to_its_last_minute() -> None:
    assert _one("11:00", ("09:40", "09:50")).broken() == set()
    assert _one("11:00", ("09:39", "09:49")).broken() == {"stale"}


def test_a_beat_within_a_minute_is_due_by_the_minute_before_it() -> None:
    """Tests that *start* is rounded down: 10:00:59 is due at 09:50."""
    show = beat("show", 59, 60, {"dough": 1}, {})
    for ends, expected in (("09:50", set()), ("09:51", {"late"})):
        facts = day([stage("dough")], [show], [run("t1", "10:00")])
        made = (f"09:4{ends[-1]}", ends, "ada")
        draft = Draft(facts).batch("b1", "loaf/dough", "d1", made)
        assert draft.use("t1/show/dough", "d1").broken() == expected


def test_a_run_may_start_at_its_first_beat() -> None:
    """Tests that second 0 lies before the clock time of such a run."""
    show = beat("show", 600, 60, {"dough": 1}, {})
    for starts_at_first_beat, expected in ((True, {"late"}), (False, set())):
        runs = [run("t1", "10:00", starts_at_first_beat=starts_at_first_beat)]
        facts = day([stage("dough")], [show], runs)
        draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("09:50", "10:00", "ada"))
        assert draft.use("t1/show/dough", "d1").broken() == expected


def test_the_earliest_of_the_beats_that_a_run_has_counts() -> None:
    """Tests that beats that the run leaves out do not move its second 0."""
    first = beat("first", 0, 60, {}, {})
    show = beat("show", 600, 60, {"dough": 1}, {})
    runs = [run("t1", "10:00", starts_at_first_beat=True, beats=["show"])]
    facts = day([stage("dough")], [first, show], runs)
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("09:40", "09:50", "ada"))
    assert draft.use("t1/show/dough", "d1").broken() == set()


def _carried(pour_s: int, *, runs: list[Facts] | None = None, **policy: int) -> Facts:
    mixed = stage("mixed", keeps_min=30, **{"from": [{"stage": "dough"}]})
    mix = beat("mix", 0, 60, {"dough": 1}, {"mixed": 1})
    pour = beat("pour", pour_s, 30, {"mixed": 1}, {})
    runs = runs or [run("t1", "10:00")]
    return day([stage("dough"), mixed], [mix, pour], runs, policy=policy)


def _handed(facts: Facts, staged: str = "10:01") -> Draft:
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("09:40", "09:50", "ada"))
    draft.left("m1", "loaf/mixed", "t1/mix", staged).kin["m1"] = "d1"
    return draft.use("t1/mix/dough", "d1")


@pytest.mark.parametrize(("pour_s", "expected"), [(60, set()), (59, {"late"})])
def test_a_hand_over_on_set_is_right_to_the_second(pour_s: int, expected: set[str]) -> None:
    """Tests that within a run there is neither margin nor return, but the beat has ended."""
    assert _handed(_carried(pour_s)).use("t1/pour/mixed", "m1").broken() == expected


def test_what_is_handed_over_ages_from_the_end_of_its_beat_rounded_up() -> None:
    """Tests that the mix left at 10:00:01 is staged 10:01 and 30 min old until 10:31:59."""
    mixed = stage("mixed", keeps_min=30, **{"from": [{"stage": "dough"}]})
    mix = beat("mix", 0, 1, {"dough": 1}, {"mixed": 1})
    for pour_s, expected in ((31 * 60 + 59, set()), (32 * 60, {"stale"})):
        pour = beat("pour", pour_s, 30, {"mixed": 1}, {})
        facts = day([stage("dough"), mixed], [mix, pour], [run("t1", "10:00")])
        assert _handed(facts).use("t1/pour/mixed", "m1").broken() == expected


@pytest.mark.parametrize(("starts", "expected"), [("10:16", set()), ("10:15", {"late"})])
def test_a_carried_copy_is_back_before_the_margin_of_another_run(
    starts: str, expected: set[str]
) -> None:
    """Tests return 5 and margin 10 after the end of the beat at 10:01."""
    runs = [run("t1", "10:00", beats=["mix"]), run("t2", starts, beats=["pour"])]
    draft = _handed(_carried(0, runs=runs))
    assert draft.use("t2/pour/mixed", "m1").broken() == expected


@pytest.mark.parametrize(
    ("slack", "starts", "expected"),
    [
        (0, "10:06", set()),
        (0, "10:05", {"late", "lineage"}),
        (10, "10:16", set()),
        (10, "10:15", {"late"}),
        (40, "10:21", set()),
        (40, "10:20", {"late"}),
    ],
)
def test_a_carried_copy_is_back_and_slack_before_a_batch(
    slack: int, starts: str, expected: set[str]
) -> None:
    """Tests the slack, never more than half of the 30 min that the input keeps."""
    baked = stage("baked", **{"from": [{"stage": "mixed"}]})
    facts = _carried(0, runs=[run("t1", "10:00", beats=["mix"])], step_slack_min=slack)
    facts["demonstrations"][0]["stages"].append(baked)
    facts["demonstrations"][0]["beats"].append(beat("eat", 0, 60, {"baked": 1}, {}))
    facts["runs"].append(run("t2", "12:00", beats=["eat"]))
    draft = _handed(facts)
    ends = f"10:{int(starts[3:]) + 10:02}"
    draft.batch("b2", "loaf/baked", "k1", (starts, ends, "ada"), takes="m1").kin["k1"] = "m1"
    assert draft.use("t2/eat/baked", "k1").broken() == expected


@pytest.mark.parametrize(("starts", "expected"), [("09:07", set()), ("09:06", {"late"})])
def test_half_of_an_odd_keeping_time_is_rounded_down(starts: str, expected: set[str]) -> None:
    """Tests that an input that keeps 15 min has 7 min of slack, not 8."""
    dough = stage("dough", keeps_min=15)
    baked = stage("baked", **{"from": [{"stage": "dough"}]})
    eat = beat("eat", 0, 60, {"baked": 1}, {})
    facts = day([dough, baked], [eat], [run("t1", "10:00")], policy={"step_slack_min": 10})
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("08:50", "09:00", "ada"))
    ends = f"09:{int(starts[3:]) + 10:02}"
    draft.batch("b2", "loaf/baked", "k1", (starts, ends, "ada"), takes="d1").kin["k1"] = "d1"
    assert draft.use("t1/eat/baked", "k1").broken() == expected


@pytest.mark.parametrize(("starts", "expected"), [("10:31", set()), ("10:32", {"stale"})])
def test_an_input_keeps_until_its_batch_starts(starts: str, expected: set[str]) -> None:
    baked = stage("baked", **{"from": [{"stage": "mixed"}]})
    facts = _carried(0, runs=[run("t1", "10:00", beats=["mix"])])
    facts["demonstrations"][0]["stages"].append(baked)
    facts["demonstrations"][0]["beats"].append(beat("eat", 0, 60, {"baked": 1}, {}))
    facts["runs"].append(run("t2", "12:00", beats=["eat"]))
    ends = f"10:{int(starts[3:]) + 10:02}"
    draft = _handed(facts)
    draft.batch("b2", "loaf/baked", "k1", (starts, ends, "ada"), takes="m1").kin["k1"] = "m1"
    assert draft.use("t2/eat/baked", "k1").broken() == expected


def test_a_copy_handed_back_keeps_its_age() -> None:
    """Tests that the second run sees the age since the first staging, not since the return."""
    show = beat("show", 0, 60, {"dough": 1}, {"dough": 1})
    for keeps_min, expected in ((130, set()), (129, {"stale"})):
        runs = [run("t1", "10:00"), run("t2", "12:00")]
        facts = day([stage("dough", keeps_min=keeps_min)], [show], runs)
        draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("09:40", "09:50", "ada"))
        draft.use("t1/show/dough", "d1").use("t2/show/dough", "d1")
        assert draft.broken() == expected


def test_stock_ages_from_long_before_the_prep() -> None:
    for staged, expected in (("2027-03-03T10:00", set()), ("2027-03-03T09:59", {"stale"})):
        entry = {
            "id": "old",
            "demonstration": "loaf",
            "stage": "dough",
            "count": 1,
            "staged": staged,
        }
        dough = stage("dough", keeps_min=1440)
        facts = day([dough], [SHOW], [run("t1", "10:00")], stock=[entry])
        draft = Draft(facts).stock("s1", "loaf/dough", "old", staged)
        assert draft.use("t1/show/dough", "s1").broken() == expected


@pytest.mark.parametrize(("keeps_min", "expected"), [(470, set()), (469, {"stale"})])
def test_a_night_in_which_the_clocks_spring_is_an_hour_short(
    keeps_min: int, expected: set[str]
) -> None:
    """Tests that ages count real minutes: 21:00 to 05:50 is 470 min when an hour is skipped.

    Source: Portugal goes from 01:00 to 02:00 on 2027-03-28 (tz database, Europe/Lisbon).
    """
    dough = stage("dough", way(10), keeps_min=keeps_min)
    runs = [run("t1", "2027-03-28T05:50", ready_margin_min=0)]
    shift = ("2027-03-27T20:00", "2027-03-27T21:00")
    facts = day(
        [dough],
        [SHOW],
        runs,
        prep_from="2027-03-27T06:00",
        kitchen={"crew": [cook(shift=shift)]},
    )
    draft = Draft(facts)
    draft.batch("b1", "loaf/dough", "d1", ("2027-03-27T20:50", "2027-03-27T21:00", "ada"))
    assert draft.use("t1/show/dough", "d1").broken() == expected
