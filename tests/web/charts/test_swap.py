"""The swap chart: geometry, words, and the picture as SVG."""

import re
from collections.abc import Callable
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import pytest

from app.planning.day import Day
from app.planning.plan import Batch, Copy, Origin, Plan, PlannedPhase, Taker
from app.web.charts.swap import Chart, swap_chart
from app.web.page import TEMPLATE_SET


@pytest.fixture
def chart(knots_day: Day, knots_plan: Plan) -> Chart:
    """Return the chart of the knots."""
    return swap_chart(knots_day, knots_plan, "knots")


def _svg(chart: Chart) -> ElementTree.Element:
    drawn = TEMPLATE_SET.get_template("charts/_swap.html").render(chart=chart)
    found = re.search(r'<svg class="swap-lines".*?</svg>', drawn, re.DOTALL)
    assert found is not None
    return ElementTree.fromstring(found.group())


def test_runs_and_beats_stand_along_the_top_as_they_air(chart: Chart) -> None:
    """Two takes of three beats, left to right, none over another."""
    assert [(each.code, each.word) for each in chart.runs] == [
        ("14:00", "knots-take-1"),
        ("15:30", "knots-take-2"),
    ]
    assert [each.label for each in chart.names] == ["mix", "tie", "reveal"] * 2
    assert all(before.right <= after.x + 1e-6 for before, after in pairwise(chart.beats))


def test_each_beat_has_its_black_block_on_the_lines_that_it_takes(chart: Chart) -> None:
    """A block stands under the beat that it is of."""
    beats = {(round(each.x, 3), round(each.width, 3)) for each in chart.beats}
    assert len(chart.on_set) == 6
    assert {(round(each.x, 3), round(each.width, 3)) for each in chart.on_set} == beats


def test_bars_of_one_line_do_not_overlap(chart: Chart) -> None:
    """Waiting, being made and being on camera follow each other."""
    lines: dict[float, list[tuple[float, float]]] = {}
    for each in (*chart.making, *chart.waiting, *chart.on_set):
        lines.setdefault(each.y, []).append((each.x, each.right))
    for drawn in lines.values():
        assert all(a[1] <= b[0] + 1e-6 for a, b in pairwise(sorted(drawn)))


def test_the_fate_of_each_line_is_told_in_words(chart: Chart) -> None:
    """For readers that see no picture."""
    assert chart.words[3] == (
        "KN-4: scaled, ready 11:49, on camera in knots-take-1, mix at 14:00; "
        "mixed, left on set 14:03, goes into rested at 14:23; "
        "rested, ready 15:23, on camera in knots-take-2, tie at 15:33."
    )
    assert "KN-10 to KN-15" in chart.words[7]
    assert "backup for knots-take-2, reveal at 15:35" in chart.words[7]


def test_the_picture_is_sound_svg_with_title_and_description(chart: Chart) -> None:
    """And has no style of its own: the page's policy allows none."""
    svg = _svg(chart)
    tags = [each.tag.rpartition("}")[2] for each in svg.iter()]
    assert tags[1:3] == ["title", "desc"]
    assert "style" not in tags
    assert not any("style" in each.attrib for each in svg.iter())
    assert not any("fill" in each.attrib for each in svg.iter())


def test_nothing_is_drawn_outside_the_picture(chart: Chart) -> None:
    """Neither bars nor the beginnings of texts."""
    for each in (*chart.making, *chart.waiting, *chart.on_set, *chart.runs):
        assert each.x >= 0
        assert each.right <= chart.width
        assert 0 <= each.y <= chart.height


def test_stations_and_many_copies_stay_few_lines(knots_day: Day, knots_plan: Plan) -> None:
    """A hundred copies with the same fate are one line."""
    baked = [copy for copy in knots_plan.copies if copy.stage == "baked"][12]
    more = tuple(
        baked.model_copy(update={"id": f"knots/baked/{n}", "tag": f"KN-{n}", "role": "spare"})
        for n in range(100, 200)
    )
    plan = knots_plan.model_copy(update={"copies": (*knots_plan.copies, *more)})
    chart = swap_chart(knots_day, plan, "knots")
    assert len(chart.tags) == 9
    assert chart.tags[-1].label == "KN-100 ×100"
    assert chart.labels[-1].word in ("", "baked, extra")


def test_a_demonstration_without_beats_is_drawn(knots_day: Day, knots_plan: Plan) -> None:
    """A component that others share has lines and no beats."""
    shown = knots_day.demonstrations[0].model_copy(update={"beats": ()})
    day = knots_day.model_copy(update={"demonstrations": (shown,), "runs": ()})
    plan = knots_plan.model_copy(update={"uses": ()})
    assert _svg(swap_chart(day, plan, "knots")) is not None


def _batch(id: str, demonstration: str, stage: str, starts: str, ends: str, takes: str) -> Batch:
    phase = PlannedPhase(starts=f"2027-03-04T{starts}", ends=f"2027-03-04T{ends}")
    made, taken = (f"{demonstration}/{stage}/1",), (takes,) if takes else ()
    return Batch(
        id=id,
        demonstration=demonstration,
        stage=stage,
        way="w",
        consumes=taken,
        copies=made,
        phases=(phase,),
    )


def test_what_comes_from_another_demonstration_is_told(
    golden: Callable[[str], Any], knots_plan: Plan
) -> None:
    """By its stage, its demonstration and how many; and over there, where it goes."""
    day = Day.model_validate(golden("shared-component.day.json"))
    paste = _batch("b1", "paste", "rested", "09:30", "09:40", "")
    baked = _batch("b2", "a", "baked", "09:45", "09:50", "paste/rested/1")
    copies = [
        Copy(
            id=batch.copies[0],
            tag=f"{batch.demonstration.upper()}-1",
            demonstration=batch.demonstration,
            stage=batch.stage,
            staged_at=batch.ends,
            made_by=Origin(batch=batch.id),
            role=role,
            taken_by=(taker,),
        )
        for batch, role, taker in (
            (paste, "feeds", Taker(batch="b2")),
            (baked, "camera", Taker(use=("ta", "show"))),
        )
    ]
    update = {"batches": (paste, baked), "copies": tuple(copies), "uses": ()}
    plan = knots_plan.model_copy(update=update)
    assert swap_chart(day, plan, "paste").words == [
        "PASTE-1: rested, ready 09:40, goes into a, baked at 09:45."
    ]
    assert swap_chart(day, plan, "a").words == [
        "A-1: baked, ready 09:50, its batch with 1 rested of paste, on camera in ta, show at 10:00."
    ]
