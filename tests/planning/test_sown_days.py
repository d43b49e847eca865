"""Days of a few copies that catch what a bug sown into the planner would change (`bench/sowing`)."""

from typing import Any

import pytest

from app.planning.audit import audit
from app.planning.reading import read_day
from app.planning.solve import solve
from tests.planning.drafts import beat, day, run, stage

Facts = dict[str, Any]
TOLD = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")


def figures(facts: Facts) -> tuple[float, ...]:
    """Return the first five figures of the plan of a day, which breaks no rule."""
    read = read_day(facts)
    plan = solve(read)
    assert audit(read, plan) == []
    assert plan.status in ("optimal", "impossible")
    return tuple(getattr(plan.objective, goal) for goal in TOLD)


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
