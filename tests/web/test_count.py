"""The count: numbers, their sums, the proof, the rule of thumb, the swap chart."""

import re

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.plan import Bounds, Lack, Plan
from tests.live import stored

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


def test_the_count_says_how_many_and_that_no_plan_does_better(
    client: TestClient, production: int
) -> None:
    """Beside it what the rule of thumb would make."""
    page = client.get(f"/productions/{production}/count").text
    assert '<span class="verdict-number">48</span> copies to make' in page
    assert "Proven: no plan does better." in page
    assert "<strong>70</strong>" in page
    assert "1 h 23" in page


def test_a_number_opens_its_sum(client: TestClient, knots_day: Day, knots_plan: Plan) -> None:
    """By script in place, without script by its address."""
    counts = [each.model_copy(update={"why": f"why {each.stage}"}) for each in knots_plan.counts]
    told = knots_plan.model_copy(update={"counts": tuple(counts)})
    production = stored(knots_day, told)
    page = client.get(f"/productions/{production}/count?sum=knots.rested").text
    assert re.search('id="sum-knots.rested"><td colspan="[0-9]">why rested', page)
    assert 'id="sum-knots.tied" hidden' in page


def test_a_part_of_the_count_is_sent_alone(client: TestClient, production: int) -> None:
    """The part, the swap chart's part, and the page for a visit to either."""
    part = client.get(f"/productions/{production}/count", headers=PART).text
    assert part.lstrip().startswith('<div id="count"')
    swap = f"/productions/{production}/count/swap/knots"
    assert client.get(swap, headers=PART).text.lstrip().startswith('<section id="swap"')
    assert "<html" in client.get(swap).text


def test_what_lacks_is_told_loudly(client: TestClient, knots_day: Day, knots_plan: Plan) -> None:
    """Short copies and missing backups, by run, beat and stage, and on their rows."""
    lacks = (
        Lack(run="knots-take-1", beat="tie", stage="rested", kind="copies", count=1),
        Lack(run="knots-take-2", beat="reveal", stage="baked", kind="backups", count=2),
    )
    objective = knots_plan.objective.model_copy(update={"unmet": 1, "unbacked": 2})
    update = {"unmet": lacks, "objective": objective, "status": "impossible"}
    production = stored(knots_day, knots_plan.model_copy(update=update))
    page = client.get(f"/productions/{production}/count").text
    assert "short</span> Cardamom knots, knots-take-1 at 14:00, tie: 1 rested" in page
    assert "no backup</span> Cardamom knots, knots-take-2 at 15:30, reveal: 2 baked" in page
    assert "short 1</span>" in page
    assert "Not every need can be met" in page


@pytest.mark.parametrize(
    ("bounds", "said"),
    [
        (Bounds(unmet=0, unbacked=0, cost=45), "The best plan found before"),
        (Bounds(unmet=0, unbacked=0, cost=45), "at most 3 from the best"),
        (Bounds(unmet=0, unbacked=0, cost=48), "not proven"),
        (Bounds(unmet=0, unbacked=0, cost=48), "Proven: no plan needs fewer copies."),
    ],
)
def test_a_gap_is_told_as_a_gap(
    client: TestClient, knots_day: Day, knots_plan: Plan, bounds: Bounds, said: str
) -> None:
    """What is not proven is not said to be the best."""
    update = {"bounds": bounds, "status": "feasible", "stopped_by": "work"}
    production = stored(knots_day, knots_plan.model_copy(update=update))
    page = client.get(f"/productions/{production}/count").text
    assert said in page
    assert "before the planner came to the end of its work." in page
    assert "no plan does better" not in page


def test_warnings_are_shown(client: TestClient, knots_day: Day, knots_plan: Plan) -> None:
    """In the planner's own sentences."""
    warned = knots_plan.model_copy(update={"warnings": ("The deck oven <is> lit at 06:00.",)})
    page = client.get(f"/productions/{stored(knots_day, warned)}/count").text
    assert "The deck oven &lt;is&gt; lit at 06:00." in page


def test_a_production_without_a_plan_says_what_to_do_first(
    client: TestClient, knots_day: Day
) -> None:
    """The empty state."""
    page = client.get(f"/productions/{stored(knots_day, None)}/count").text
    assert "No plan yet" in page
    assert "Work out the plan" in page


def test_a_count_that_is_not_there(client: TestClient, production: int) -> None:
    """A bad production, a bad demonstration, a bad address, a change by GET or POST."""
    assert client.get("/productions/99/count").status_code == 404
    assert client.get(f"/productions/{production}/count/swap/none").status_code == 404
    assert client.get("/productions/x/count").status_code == 404
    assert client.post(f"/productions/{production}/count").status_code == 405


def test_a_name_is_never_taken_for_markup(
    client: TestClient, knots_day: Day, knots_plan: Plan
) -> None:
    """Titles and names come from files that anybody may have written."""
    shown = knots_day.demonstrations[0]
    stages = tuple(each.model_copy(update={"name": "<b>raw</b>"}) for each in shown.stages)
    evil = shown.model_copy(update={"title": "<script>alert(1)</script>", "stages": stages})
    day = knots_day.model_copy(update={"title": "<i>T</i>", "demonstrations": (evil,)})
    production = stored(day, knots_plan)
    for screen in ("count", "rundown", "demonstrations", "demonstrations/knots", "kitchen"):
        page = client.get(f"/productions/{production}/{screen}").text
        assert "<script>alert" not in page
        assert "<b>raw" not in page
        assert "<i>T" not in page
