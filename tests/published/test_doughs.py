"""Rests, bakes and dips of the trade, as days. Every length here is *common practice*."""

import pytest

from app.planning.audit import audit
from app.planning.day import Day
from app.planning.solve import solve
from tests.published.short_days import Document, beat, begun, short_day, step, steps


def soft_dough(at: str, ways: list[Document]) -> Day:
    """Return a day that shows a rested dough; somebody mixes the evening before or at eight."""
    mixed = step("mixed", {"lasts_min": 12, "hands": 1}, keeps_min=10)
    rested = {"id": "rested", "keeps_min": 60, "from": [{"stage": "mixed"}], "ways": ways}
    shifts = [["2027-03-03T16:00", "2027-03-03T20:00"], ["2027-03-04T08:00", "2027-03-04T12:00"]]
    return short_day(
        [mixed, rested], [beat("show", [{"stage": "rested"}])], at, "2027-03-03T16:00",
        crew=[{"id": "cook", "shifts": shifts}],
    )  # fmt: skip


ROOM = {"id": "room", "phases": [{"lasts_min": 60}]}
NIGHT = {"id": "night", "phases": [{"lasts_min": 720, "zone": "chill"}]}


@pytest.mark.parametrize(("at", "unmet"), [("09:12", 0), ("09:11", 1)])
def test_a_soft_dough_rests_an_hour_at_least(at: str, unmet: int) -> None:
    """Tests one to two hours in the room: mixed from 08:00 to 08:12, ready at 09:12, not before.

    Source: common practice.
    """
    assert solve(soft_dough(f"2027-03-04T{at}", [ROOM])).objective.unmet == unmet


def test_a_soft_dough_rests_overnight() -> None:
    """Tests that what the morning has no time for is done the evening before.

    Source: common practice.
    """
    day = soft_dough("2027-03-04T08:00", [ROOM, NIGHT])
    plan = solve(day)
    assert plan.objective.unmet == 0
    assert [batch.way for batch in plan.batches if batch.stage == "rested"] == ["night"]
    assert audit(day, plan) == []


@pytest.mark.parametrize(("at", "unmet"), [("08:00", 0), ("07:59", 1)])
def test_a_lean_dough_takes_two_days(at: str, unmet: int) -> None:
    """Tests a day in bulk in the chill, then a day as balls: 2 × 24 hours.

    Source: common practice.
    """
    stages = steps(("bulk", 1440), ("balls", 1440))
    day = short_day(
        stages, [beat("bake", [{"stage": "balls"}])], f"2027-03-06T{at}", "2027-03-04T08:00"
    )  # fmt: skip
    assert solve(day).objective.unmet == unmet


def test_a_filled_pastry_is_cut_half_an_hour_out_of_the_oven() -> None:
    """Tests half an hour at 400 °F (204 °C), half an hour of standing: in at 18:00, cut at 19:00.

    Source: common practice.
    """
    baked = step(
        "baked",
        {"lasts_min": 30, "equipment": [{"kind": "oven", "copies_per_unit": 1, "setting": 204}]},
        {"lasts_min": 30},
    )
    item = {"id": "oven", "kind": "oven", "settings": {"change_min": 15}}
    day = short_day(
        [baked], [beat("cut", [{"stage": "baked"}])], "2027-03-04T19:00", "2027-03-04T08:00",
        equipment=[item],
    )  # fmt: skip
    plan = solve(day)
    assert begun(day, plan) == {"baked": "18:00"}
    assert [phase.ends[11:] for phase in plan.batches[0].phases] == ["18:30", "19:00"]


def test_dipped_rolls() -> None:
    """Tests a dough eight hours cold, a dip of 30 s each, 450 °F (232 °C) five minutes a side.

    Source: common practice. Twelve rolls dip in six minutes: 8 h + 6 + 5 + 1 (turning) + 5.
    """
    oven = {"kind": "oven", "copies_per_unit": 12, "setting": 232}
    baked = step(
        "baked",
        {"lasts_min": 5, "equipment": [oven]},
        {"lasts_min": 1, "hands": 1, "equipment": [oven]},
        {"lasts_min": 5, "equipment": [oven]},
        takes="dipped",
        keeps_min=30,
    )
    stages = [
        step("dough", {"lasts_min": 480, "zone": "chill"}),
        step("dipped", {"per_copy_s": 30, "hands": 1}, takes="dough", keeps_min=5),
        baked,
    ]
    day = short_day(
        stages, [beat("show", [{"stage": "baked", "count": 12}])],
        "2027-03-04T18:00", "2027-03-04T06:00",
        equipment=[{"id": "oven", "kind": "oven", "settings": {"change_min": 20}}],
        crew=[{"id": "cook", "shifts": [["2027-03-04T06:00", "2027-03-04T18:00"]]}],
    )  # fmt: skip
    plan = solve(day)
    assert begun(day, plan) == {"dough": "09:43", "dipped": "17:43", "baked": "17:49"}
