"""The swap chart follows each edit: of the plan while it stands, else of the rough count."""

import re

from app.planning.day import Day
from tests.live import stored
from tests.web.editing import Editing

KNOTS = "demonstrations/knots"


def beside(editing: Editing) -> str:
    """Return what is drawn anew after an edit."""
    address = f"/productions/{editing.production}/{KNOTS}/beside"
    answer = editing.client.get(address, headers={"HX-Request-Type": "partial"})
    assert answer.status_code == 200
    return answer.text


def rested(editing: Editing) -> str:
    """Return the place of the stage that rests."""
    return f"stages/{editing.id('stages', 'rested')}"


def test_the_chart_is_rough_from_an_edit_until_a_plan_stands(ada: Editing) -> None:
    """Tests the plan's chart, the rough one after an edit, and the plan's once it is taken back."""
    assert "Drawn from plan 1." in beside(ada)
    assert ada.fill(rested(ada), "keeps_min", "40 min", 120)[0] == 200
    page = beside(ada)
    assert "Rough swap chart of Cardamom knots" in page
    assert 'id="picture"' in page
    assert "hx-swap-oob" in page
    assert "Drawn from" not in page
    assert ada.post("undo")[0] == 200
    assert "Drawn from plan 1." in beside(ada)


def test_a_rough_chart_names_no_time_of_a_batch(ada: Editing) -> None:
    """Tests its words: the hours of beats, and what goes into what, but no hour of a batch."""
    ada.fill(rested(ada), "keeps_min", "40 min", 120)
    page = beside(ada)
    said = re.findall(r"<li>(KN-[^<]*)</li>", page)
    assert any("on camera in" in each for each in said)
    for each in said:
        assert not re.search(r"(ready|goes into \w+ at) \d\d:\d\d", each), each
    assert re.search(r"scaled, made, on camera in .* at 14:00; mixed, left on set 14:03", page)


def test_the_rough_chart_changes_with_each_edit(ada: Editing) -> None:
    """Tests that a beat which needs more draws more, before any plan."""

    def copies() -> int:
        return len(re.findall(r'class="swap-waits', beside(ada)))

    ada.fill(rested(ada), "keeps_min", "40 min", 120)
    before = copies()
    need = ada.rows().below("beats", ada.id("beats", "tie"), "needs")[0]
    assert ada.fill(f"needs/{need['id']}", "count", "5", 1)[0] == 200
    assert copies() != before


def test_a_demonstration_without_runs_or_plan_has_a_chart(ada: Editing, knots_day: Day) -> None:
    """Tests a production in the making: one take is drawn, and said to be supposed."""
    id = stored(knots_day.model_copy(update={"runs": (), "title": "Bare"}), None)
    page = ada.client.get(f"/productions/{id}/{KNOTS}").text
    assert "Rough swap chart of Cardamom knots" in page
    assert "Drawn for one take" in page


def test_a_demonstration_that_is_not_whole_tells_why_it_has_no_chart(
    ada: Editing, knots_day: Day
) -> None:
    """Tests a way without steps, where no plan was ever published."""
    home = knots_day.demonstrations[0]
    scaled = home.stages[0].model_copy(
        update={"ways": (home.stages[0].ways[0].model_copy(update={"phases": ()}),)}
    )
    broken = home.model_copy(update={"stages": (scaled, *home.stages[1:])})
    id = stored(knots_day.model_copy(update={"demonstrations": (broken,)}), None)
    page = ada.client.get(f"/productions/{id}/{KNOTS}").text
    assert "The swap chart comes back when" in page
