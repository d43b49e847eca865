"""Days of a few copies that catch what a bug sown by `bench/sowing.py` would change."""

import pytest

from tests.planning.drafts import Facts, beat, cook, day, run, stage, way
from tests.planning.planned import figures, twice


@pytest.mark.parametrize(("return_min", "copies"), [(1, 1), (2, 2)])
def test_what_comes_back_too_late_is_made_again(return_min: int, copies: int) -> None:
    """Shown until 12:01 and due again at 12:02: one copy does if it is back within a minute."""
    facts = day(
        [stage("done")],
        [beat("show", 0, 60, {"done": 1}, {"done": 1})],
        [run("first", "12:00"), run("second", "12:12")],
        policy={"ready_margin_min": 10, "return_min": return_min},
    )
    assert figures(facts)[2] == copies


@pytest.mark.parametrize(("return_min", "copies"), [(1, 1), (2, 3)])
def test_what_a_beat_leaves_too_late_is_made_again(return_min: int, copies: int) -> None:
    """Cut until 12:01, its halves due at 12:02: else another must be baked and cut before."""
    facts = day(
        [stage("baked"), stage("cut", **{"from": [{"stage": "baked"}]})],
        [beat("cuts", 0, 60, {"baked": 1}, {"cut": 1}), beat("shows", 120, 60, {"cut": 1}, {})],
        [
            run("first", "12:00", beats=["cuts"], kind="pickup"),
            run("second", "12:10", beats=["shows"], kind="pickup"),
        ],
        policy={"ready_margin_min": 10, "return_min": return_min},
    )
    assert figures(facts)[2] == copies


@pytest.mark.parametrize(
    ("wish", "copies"), [({"tasting": True}, 2), ({"untouched": True}, 2), ({}, 1)]
)
def test_what_is_tasted_was_never_on_camera(wish: Facts, copies: int) -> None:
    """Two takes that each taste, with hours between: none can have what the other had."""
    facts = day(
        [stage("done", ready_to_eat=True)],
        [beat("show", 0, 60, {"done": wish}, {"done": 1})],
        [run("first", "12:00"), run("second", "14:00")],
    )
    assert figures(facts)[2] == copies


def test_a_beat_hands_back_no_more_than_it_had() -> None:
    """A beat has one and leaves two: one of them is new; a take of two can have both."""
    facts = day(
        [stage("done")],
        [
            beat("first", 0, 60, {"done": 1}, {"done": 2}),
            beat("second", 120, 60, {"done": 3}, {}),
        ],
        [run("take", "12:00")],
    )
    assert figures(facts)[2] == 2


def test_what_is_eaten_is_as_young_as_is_safe() -> None:
    """The only cook is gone an hour before the tasting, and what is made is safe for less."""
    facts = day(
        [stage("done", ready_to_eat=True, needs_temperature_control=True, safety_min=50)],
        [beat("show", 0, 60, {"done": {"tasting": True}}, {})],
        [run("take", "12:00")],
        kitchen={"crew": [cook(shift=("06:00", "11:00"))]},
    )
    assert figures(facts)[0] == 1


def test_an_input_may_be_as_old_as_it_keeps() -> None:
    """Dough that was made before the cook left is baked, without hands, hours later."""
    facts = day(
        [
            stage("dough", keeps_min=600),
            stage("bread", way(60, hands=0), keeps_min=20, **{"from": [{"stage": "dough"}]}),
        ],
        [beat("show", 0, 60, {"bread": 1}, {})],
        [run("take", "12:00")],
        kitchen={"crew": [cook(shift=("06:00", "08:00"))]},
    )
    assert figures(facts)[:3] == (0, 0, 2)


def test_a_batch_takes_its_input_several_times() -> None:
    """One loaf of three doughs."""
    facts = day(
        [stage("dough"), stage("bread", **{"from": [{"stage": "dough", "count": 3}]})],
        [beat("show", 0, 60, {"bread": 1}, {})],
        [run("take", "12:00")],
    )
    assert figures(facts)[:3] == (0, 0, 4)


@pytest.mark.parametrize(("starts", "unmet"), [("06:20", 0), ("06:19", 1)])
def test_nothing_starts_before_the_prep(starts: str, unmet: int) -> None:
    """Ten minutes without hands from 06:00, and a margin of ten."""
    facts = day(
        [stage("done", way(10, hands=0))],
        [beat("show", 0, 60, {"done": 1}, {})],
        [run("take", starts)],
        policy={"ready_margin_min": 10},
    )
    assert figures(facts)[0] == unmet


@pytest.mark.parametrize(("begins_s", "copies"), [(59, 2), (60, 1)])
def test_what_is_handed_back_is_there_at_once_on_set(begins_s: int, copies: int) -> None:
    """The second beat begins as the first ends, or a second earlier."""
    facts = day(
        [stage("done")],
        [
            beat("first", 0, 60, {"done": 1}, {"done": 1}),
            beat("second", begins_s, 60, {"done": 1}, {}),
        ],
        [run("take", "12:00")],
    )
    assert figures(facts)[2] == copies


@pytest.mark.parametrize(("reuse", "copies"), [(True, 1), (False, 3)])
def test_what_a_beat_leaves_goes_to_another_run_only_by_reuse(reuse: bool, copies: int) -> None:
    """What one take cuts, another shows, hours later."""
    facts = day(
        [stage("baked"), stage("cut", **{"from": [{"stage": "baked"}]})],
        [beat("cuts", 0, 60, {"baked": 1}, {"cut": 1}), beat("shows", 120, 60, {"cut": 1}, {})],
        [
            run("first", "12:00", beats=["cuts"], kind="pickup"),
            run("second", "14:00", beats=["shows"], kind="pickup"),
        ],
        policy={"reuse": reuse},
    )
    assert figures(facts)[2] == copies


@pytest.mark.parametrize(("reuse", "copies"), [(True, 2), (False, 4)])
def test_what_a_beat_leaves_goes_into_a_batch_only_by_reuse(reuse: bool, copies: int) -> None:
    """What one take cuts is filled for another."""
    facts = day(
        [
            stage("baked"),
            stage("cut", **{"from": [{"stage": "baked"}]}),
            stage("filled", **{"from": [{"stage": "cut"}]}),
        ],
        [beat("cuts", 0, 60, {"baked": 1}, {"cut": 1}), beat("shows", 120, 60, {"filled": 1}, {})],
        [
            run("first", "12:00", beats=["cuts"], kind="pickup"),
            run("second", "14:00", beats=["shows"], kind="pickup"),
        ],
        policy={"reuse": reuse},
    )
    assert figures(facts)[2] == copies


def test_what_is_made_of_shown_copies_was_shown() -> None:
    """A take tastes what is filled: it can't be made of what another take has cut."""
    facts = day(
        [
            stage("baked"),
            stage("cut", **{"from": [{"stage": "baked"}]}),
            stage("filled", ready_to_eat=True, **{"from": [{"stage": "cut"}]}),
        ],
        [
            beat("cuts", 0, 60, {"baked": 1}, {"cut": 1}),
            beat("tastes", 120, 60, {"filled": {"tasting": True}}, {}),
        ],
        [
            run("first", "12:00", beats=["cuts"], kind="pickup"),
            run("second", "14:00", beats=["tastes"], kind="pickup"),
        ],
    )
    assert figures(facts)[2] == 4


def test_what_is_made_of_copies_handed_back_was_shown() -> None:
    """A take shows what is baked and hands it back: what is tasted is cut from another."""
    facts = day(
        [stage("baked"), stage("cut", ready_to_eat=True, **{"from": [{"stage": "baked"}]})],
        [
            beat("shows", 0, 60, {"baked": 1}, {"baked": 1}),
            beat("tastes", 120, 60, {"cut": {"tasting": True}}, {}),
        ],
        [
            run("first", "12:00", beats=["shows"], kind="pickup"),
            run("second", "14:00", beats=["tastes"], kind="pickup"),
        ],
    )
    assert figures(facts)[2] == 3


def test_a_beat_that_lacks_leaves_nothing() -> None:
    """Nothing is baked before the take begins; the cook is there for what comes later."""
    facts = day(
        [stage("baked", way(30)), stage("cut", **{"from": [{"stage": "baked"}], "ways": []})],
        [beat("cuts", 0, 60, {"baked": 1}, {"cut": 1}), beat("shows", 120, 60, {"cut": 1}, {})],
        [run("take", "12:00")],
        kitchen={"crew": [cook(shift=("11:50", "12:10"))]},
    )
    assert figures(facts)[0] == 2


def test_of_what_a_beat_has_only_some_comes_back() -> None:
    """The beat has two, each made by itself, and hands one back: the next of two has one fresh."""
    facts = day(
        [stage("done", way(most=1))],
        [
            beat("first", 0, 60, {"done": 2}, {"done": 1}),
            beat("second", 120, 60, {"done": 2}, {}),
        ],
        [run("take", "12:00")],
    )
    assert figures(facts)[2] == 3


def test_stock_serves_only_once() -> None:
    """One is in stock, two are needed."""
    stock = {"id": "left-over", "demonstration": "loaf", "stage": "done", "count": 1}
    facts = day(
        [stage("done")],
        [beat("show", 0, 60, {"done": 2}, {})],
        [run("take", "12:00")],
        stock=[stock | {"staged": "2027-03-04T10:00"}],
        policy={"ready_margin_min": 10},
    )
    unmet, _, cost, _, waiting_min = figures(facts)
    assert (unmet, cost, waiting_min) == (0, 1, 110)


@pytest.mark.parametrize(("comes", "unmet"), [("11:35", 0), ("11:36", 1)])
def test_each_beat_of_a_run_has_its_own_margin(comes: str, unmet: int) -> None:
    """Ten minutes of work, due at 11:45; another beat half an hour later has its copy anyhow."""
    facts = day(
        [stage("done")],
        [beat("first", 0, 60, {"done": 1}, {}), beat("second", 1800, 60, {"done": 1}, {})],
        [run("take", "12:00")],
        kitchen={"crew": [cook(shift=(comes, "13:00"))]},
        policy={"ready_margin_min": 15},
    )
    assert figures(facts)[0] == unmet


def test_what_is_made_of_what_was_shown_counts_as_shown() -> None:
    """The cook has time to bake one and to cut one: shown, it may be cut, but not be tasted."""
    facts = day(
        [
            stage("baked", way(most=1), keeps_min=600),
            stage("cut", ready_to_eat=True, **{"from": [{"stage": "baked"}]}),
        ],
        [
            beat("shows", 0, 60, {"baked": 1}, {"baked": 1}),
            beat("tastes", 120, 60, {"cut": {"tasting": True}}, {}),
        ],
        [
            run("first", "12:00", beats=["shows"], kind="pickup"),
            run("second", "14:00", beats=["tastes"], kind="pickup"),
        ],
        kitchen={"crew": [twice(10)]},
    )
    assert figures(facts)[0] == 1


@pytest.mark.parametrize(("loaves", "copies"), [(2, 3), (3, 5)])
def test_a_part_of_a_set_takes_a_whole_set(loaves: int, copies: int) -> None:
    """Two loaves of a dough."""
    facts = day(
        [stage("dough"), stage("bread", yields=2, **{"from": [{"stage": "dough"}]})],
        [beat("show", 0, 60, {"bread": loaves}, {})],
        [run("take", "12:00")],
    )
    assert figures(facts)[:3] == (0, 0, copies)


@pytest.mark.parametrize(("copies", "comes"), [(1, "11:50"), (2, "11:45"), (3, "11:40")])
def test_fewer_copies_take_less_time(copies: int, comes: str) -> None:
    """Five minutes, and five for each copy; the cook comes just in time."""
    facts = day(
        [stage("done", way(5, most=3, per_copy_min=5))],
        [beat("show", 0, 60, {"done": copies}, {})],
        [run("take", "12:00")],
        kitchen={"crew": [cook(shift=(comes, "12:00"))]},
        policy={"ready_margin_min": 0},
    )
    assert figures(facts) == (0, 0, copies, 5 + 5 * copies, 0)


def test_a_part_of_a_cost_counts() -> None:
    """Three at a half, and one spare, are dearer than three by hand at six tenths."""
    cheap = {**way(), "id": "risky", "cost": 0.5, "loss": 0.05}
    facts = day(
        [stage("done", cheap, {**way(), "cost": 0.6})],
        [beat("show", 0, 60, {"done": 3}, {})],
        [run("take", "12:00")],
    )
    assert figures(facts)[2] == 1.8
