"""A class: what every bench has, and the teacher's own copies."""

import json
from pathlib import Path

from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.rough import rough_count
from tests.live import stored
from tests.web.editing import Editing, day

CLASS = Path(__file__).parents[2] / "seed_demo" / "class.day.json"


def test_a_need_is_every_benchs_or_the_teachers_own(client: TestClient) -> None:
    """One tick in the row of the need; the rough count is smaller by the benches' copies."""
    whole = Day.model_validate(json.loads(CLASS.read_text("utf-8")))
    editing = Editing(client, stored(whole, None))
    home = whole.demonstrations[0].id
    page = client.get(f"/productions/{editing.production}/demonstrations/{home}").text
    assert "without it they are the teacher’s own" in page
    need = next(row for row in editing.rows().all("needs") if row["per_station"])
    place = f"needs/{need['id']}"
    shown = page.index(f'data-place="{place}" data-field="per_station"')
    assert shown < page.index("<summary>More</summary>", page.index(f'data-row="{place}"'))
    before = rough_count(day(editing), home)
    assert editing.fill(place, "per_station", "no", True)[0] == 200
    after = rough_count(day(editing), home)
    assert sum(count for _, count in after.made) < sum(count for _, count in before.made)


def test_outside_a_class_nobody_is_told_of_a_teacher(ada: Editing) -> None:
    """The tick is among what is seldom needed."""
    page = ada.client.get(f"/productions/{ada.production}/demonstrations/knots").text
    assert "the teacher’s own" not in page
    assert 'data-field="per_station"' in page
