"""A copy: what it is, what for, where it stands, may it be eaten, what happened to it."""

import json
from typing import Any

from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.log import append
from app.storage.ticks import tick_of
from tests.live import stored
from tests.web.test_crew_pages import words_of


def shown(client: TestClient, production: int, ref: str) -> str:
    """Return the words of a copy's page, one blank between them."""
    return " ".join(words_of(client.get(f"/productions/{production}/copies/{ref}").text).split())


def with_facts(day: Day, stage: str, **facts: Any) -> Day:
    """Return the day with other facts for one stage of the knots."""
    document = json.loads(day.model_dump_json(by_alias=True))
    next(s for s in document["demonstrations"][0]["stages"] if s["id"] == stage).update(facts)
    return Day.model_validate(document)


def test_a_label_s_tag_opens_the_copy(client: TestClient, production: int) -> None:
    words = shown(client, production, "KN-4")
    assert "KN-4 scaled" in words
    assert "for knots-take-1, mix 14:00" in words
    assert "rack-1, level 1, slot 3" in words


def test_a_tag_may_be_typed_small(client: TestClient, production: int) -> None:
    assert "KN-4 scaled" in shown(client, production, "kn-4")


def test_a_copy_is_opened_by_its_id(client: TestClient, production: int) -> None:
    words = shown(client, production, "knots/mixed/4")
    assert "KN-4 mixed" in words
    assert "left by knots-take-1, mix" in words


def test_a_copy_says_why_it_is_made_then(client: TestClient, production: int) -> None:
    """What it is for, and its free minutes, until it is begun; the batch's own page says so too."""
    said = "It cannot start later: cook-1 begins Cardamom knots, mixed at 12:01."
    assert said in shown(client, production, "knots/mixed/1")
    page = words_of(client.get(f"/productions/{production}/today/batch/b2").text)
    assert said in " ".join(page.split())
    started = {"event": "started", "batch": "b2", "at": "2027-03-04T11:49", "by": "Ada"}
    append(production, [tick_of(started | {"once": "k"})])
    assert "Why then" not in shown(client, production, "knots/mixed/1")


def test_the_life_of_a_tag_goes_from_stage_to_stage(client: TestClient, production: int) -> None:
    """Scaled, mixed on camera, rested for the second take."""
    life = shown(client, production, "KN-4").partition("The life of KN-4")[2]
    assert life.index("scaled") < life.index("mixed") < life.index("rested")


def test_no_such_copy_is_told_with_a_way_out(client: TestClient, production: int) -> None:
    answer = client.get(f"/productions/{production}/copies/KN-99")
    assert answer.status_code == 404
    assert "has no copy “KN-99”" in answer.text
    assert "Find a copy on the shelf map" in answer.text


def test_what_nobody_said_to_be_safe_is_not_for_eating(client: TestClient, production: int) -> None:
    assert "NOT FOR EATING" in shown(client, production, "KN-4")


def test_what_may_be_eaten_says_until_when(
    client: TestClient, knots_day: Day, knots_plan: Plan
) -> None:
    day = with_facts(knots_day, "baked", ready_to_eat=True, safety_min=120)
    words = shown(client, stored(day, knots_plan), "knots/baked/13")
    assert "Safe to eat until Thu 4 March, 15:55" in words
    assert "NOT FOR EATING" not in words


def test_allergens_are_named_and_people_are_said_to_be_unchecked(
    client: TestClient, knots_day: Day, knots_plan: Plan
) -> None:
    flour = {"name": "strong flour", "contains": ["wheat"]}
    day = with_facts(knots_day, "scaled", ingredients=[flour])
    words = shown(client, stored(day, knots_plan), "knots/baked/13")
    assert "wheat from strong flour" in words
    assert "No run names its people, so nobody is checked against allergens." in words


def test_its_ticks_are_told_with_what_was_taken_back(client: TestClient, production: int) -> None:
    said = {"by": "Ada", "at": "2027-03-04T11:52"}
    append(
        production,
        [
            tick_of({"event": "started", "batch": "b1", "once": "1"} | said),
            tick_of({"event": "lost", "copy": "knots/scaled/4", "why": "torn", "once": "2"} | said),
            tick_of({"event": "undone", "undoes": 2, "once": "3"} | said),
            tick_of(
                {"event": "staged", "batch": "b1", "lost": ["knots/scaled/4"], "once": "4"} | said
            ),
        ],
    )
    words = shown(client, production, "KN-4")
    assert "started 11:52, Ada" in words
    assert "lost 11:52, Ada: torn, taken back" in words
    assert "lost in the making 11:52, Ada" in words
