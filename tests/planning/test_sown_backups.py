"""Days of a few copies that catch what a bug sown into the rule of backups would change."""

import pytest

from tests.planning.drafts import beat, cook, day, run, stage, way
from tests.planning.planned import figures, twice


@pytest.mark.parametrize("backups", [1, 2, 3])
def test_each_backup_is_a_copy_of_its_own(backups: int) -> None:
    """One on camera, the rest behind it."""
    facts = day(
        [stage("done")],
        [beat("show", 0, 60, {"done": {"backups": backups}}, {})],
        [run("take", "12:00")],
    )
    assert figures(facts)[:3] == (0, 0, 1 + backups)


def test_a_copy_for_later_is_one_backup() -> None:
    """Two backups of the first beat: one is taken by the second, one by nobody."""
    facts = day(
        [stage("done")],
        [
            beat("first", 0, 60, {"done": {"backups": 2}}, {}),
            beat("second", 120, 60, {"done": 1}, {}),
        ],
        [run("take", "12:00")],
    )
    assert figures(facts)[:3] == (0, 0, 3)


@pytest.mark.parametrize(("begins_s", "copies"), [(59, 3), (60, 2)])
def test_what_is_taken_in_the_same_minute_backs_nothing(begins_s: int, copies: int) -> None:
    """The second beat's copy backs the first only if it begins in a later minute."""
    facts = day(
        [stage("done")],
        [
            beat("first", 0, 30, {"done": {"backups": 1}}, {}),
            beat("second", begins_s, 30, {"done": 1}, {}),
        ],
        [run("take", "12:00")],
    )
    assert figures(facts)[:3] == (0, 0, copies)


@pytest.mark.parametrize(("comes", "copies"), [("12:00", 6), ("12:01", 5)])
def test_what_is_cut_in_the_same_minute_backs_nothing(comes: str, copies: int) -> None:
    """The cook comes as the beat begins, or a minute later, and cuts one after the other."""
    facts = day(
        [
            stage("baked", way(hands=0)),
            stage("cut", way(9, most=1), **{"from": [{"stage": "baked"}]}),
        ],
        [
            beat("shows", 0, 60, {"baked": {"backups": 2}}, {}),
            beat("serves", 1080 + 60 * int(comes[-1]), 60, {"cut": 2}, {}),
        ],
        [run("take", "12:00")],
        kitchen={"crew": [cook(shift=(comes, "13:00"))]},
        policy={"ready_margin_min": 0},
    )
    assert figures(facts)[:3] == (0, 0, copies)


def test_the_backup_of_an_untouched_copy_is_untouched() -> None:
    """The cook has time to bake two and cut two: what was shown can be cut, but not tasted."""
    facts = day(
        [
            stage("baked", way(most=1), keeps_min=600),
            stage("cut", way(most=1), ready_to_eat=True, **{"from": [{"stage": "baked"}]}),
        ],
        [
            beat("shows", 0, 60, {"baked": 1}, {"baked": 1}),
            beat("tastes", 120, 60, {"cut": {"tasting": True, "backups": 1}}, {}),
        ],
        [
            run("first", "12:00", beats=["shows"], kind="pickup"),
            run("second", "14:00", beats=["tastes"], kind="pickup"),
        ],
        kitchen={"crew": [twice(20)]},
    )
    assert figures(facts)[:2] == (0, 1)


@pytest.mark.parametrize(("comes", "unbacked"), [("11:25", 0), ("11:26", 1)])
def test_a_backup_is_ready_in_time_too(comes: str, unbacked: int) -> None:
    """One at a time, ten minutes each, both due at 11:45, though one is taken much later."""
    facts = day(
        [stage("done", way(10, most=1))],
        [
            beat("first", 0, 60, {"done": {"backups": 1}}, {}),
            beat("second", 1800, 60, {"done": 1}, {}),
        ],
        [run("take", "12:00")],
        kitchen={"crew": [cook(shift=(comes, "12:00"))]},
        policy={"ready_margin_min": 15},
    )
    assert figures(facts)[:2] == (0, unbacked)
