"""What holds for every screen of the crew alike."""

import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from tests.live import stored

PAGES = ["board", "list", "list?cook=cook-1", "pulls", "pulls?by=beat", "shelves", "copies/KN-4"]
# What the table of words keeps from a cook: the planner's own terms and the codes of its rules.
KEPT_FROM_COOKS = (
    "lineage",
    "early_min",
    "waiting_min",
    "hands_min",
    "unmet",
    "unbacked",
    "unserved",
    "untouched",
    "policy",
    "confidence",
    "station",
)


def words_of(html: str) -> str:
    """Return what a page shows: no tags, no scripts."""
    shown = re.sub(r"<(script|style|head)\b.*?</\1>", " ", html, flags=re.S)
    return re.sub(r"<[^>]+>", " ", shown)


@pytest.mark.parametrize("page", PAGES)
def test_a_visit_gets_the_page_and_a_swap_its_part(
    client: TestClient, production: int, page: str
) -> None:
    address = f"/productions/{production}/{page}"
    visit = client.get(address)
    part = client.get(address, headers={"HX-Request-Type": "partial"})
    assert (visit.status_code, part.status_code) == (200, 200)
    assert "<html" in visit.text
    assert "<html" not in part.text
    assert 'id="floor"' in part.text
    assert part.headers["vary"] == "HX-Request-Type"


@pytest.mark.parametrize("page", PAGES)
def test_a_production_that_is_not_there_is_told(client: TestClient, page: str) -> None:
    assert client.get(f"/productions/99/{page}").status_code == 404
    assert client.get(f"/productions/knots/{page}").status_code == 404


@pytest.mark.parametrize("page", PAGES)
def test_nothing_is_changed_by_a_visit_or_a_post(
    client: TestClient, production: int, page: str
) -> None:
    assert client.post(f"/productions/{production}/{page}").status_code == 405


@pytest.mark.parametrize("page", PAGES)
def test_before_the_first_plan_a_screen_says_what_to_do(
    client: TestClient, knots_day: Day, page: str
) -> None:
    unplanned = stored(knots_day, None)
    answer = client.get(f"/productions/{unplanned}/{page}")
    assert answer.status_code == 200
    assert "Work out the plan" in answer.text


@pytest.mark.parametrize("page", PAGES)
def test_a_cook_never_reads_the_planner_s_terms(
    client: TestClient, production: int, page: str
) -> None:
    shown = words_of(client.get(f"/productions/{production}/{page}").text).lower()
    assert [term for term in KEPT_FROM_COOKS if term in shown] == []


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize(
    "question", ["day=never", "at=-5", "at=99999999999", "cook=nobody", "by=%00", "tag=%3Cb%3E"]
)
def test_a_strange_question_breaks_nothing(
    client: TestClient, production: int, page: str, question: str
) -> None:
    joined = "&" if "?" in page else "?"
    answer = client.get(f"/productions/{production}/{page}{joined}{question}")
    assert answer.status_code in (200, 422)
    assert "<b>" not in answer.text.split('id="tag"')[-1][:40]


def test_a_name_with_tags_in_it_stays_a_name(client: TestClient, knots_day: Day) -> None:
    """Names are typed by people; nothing of them becomes a part of the page."""
    from app.planning.plan import Plan
    from tests.live import GOLDEN

    plan = Plan.model_validate_json(Path(GOLDEN / "knots.plan.json").read_bytes())
    evil = "<script>alert(1)</script>"
    stage = knots_day.demonstrations[0].stages[0].model_copy(update={"name": evil})
    stages = (stage, *knots_day.demonstrations[0].stages[1:])
    knots = knots_day.demonstrations[0].model_copy(update={"stages": stages, "title": evil})
    cook = knots_day.kitchen.crew[0].model_copy(update={"name": evil})
    kitchen = knots_day.kitchen.model_copy(update={"crew": (cook,)})
    day = knots_day.model_copy(update={"demonstrations": (knots,), "kitchen": kitchen})
    id = stored(day, plan)
    for page in PAGES:
        answer = client.get(f"/productions/{id}/{page}")
        assert answer.status_code == 200
        assert evil not in answer.text
