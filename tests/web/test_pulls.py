"""The pull list on screen: amounts by size of batch, and what goes to set."""

import json
from datetime import datetime
from typing import Any

from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.pulls import stage_pulls
from app.storage.log import append
from app.storage.ticks import tick_of
from app.web.pulls import sizes
from tests.live import stored
from tests.web.test_crew_pages import words_of
from tests.web.test_shelves import example_of


def with_facts(day: Day, stage: str, **facts: Any) -> Day:
    """Return the day with other facts for one stage of the knots."""
    document = json.loads(day.model_dump_json(by_alias=True))
    next(s for s in document["demonstrations"][0]["stages"] if s["id"] == stage).update(facts)
    return Day.model_validate(document)


def pulls_of(client: TestClient, production: int) -> str:
    """Return the pull list by stage, as HTML."""
    return client.get(f"/productions/{production}/pulls").text


def shown(client: TestClient, production: int, question: str = "") -> str:
    """Return the words of a pull list, one blank between them."""
    html = client.get(f"/productions/{production}/pulls{question}").text
    return " ".join(words_of(html).split())


def test_batches_of_one_size_share_a_column(knots_day: Day, knots_plan: Plan) -> None:
    """Of four rested doughs two are a batch and two are one each."""
    salt = {"name": "salt", "amount": 6, "unit": "g"}
    day = with_facts(knots_day, "rested", ingredients=[salt])
    rested = next(pull for pull in stage_pulls(day, knots_plan) if pull.stage == "rested")
    assert [(size.label, size.amounts[0].amount) for size in sizes(rested)] == [
        ("In all", "24"),
        ("A batch of 2", "12"),
        ("Each of 2 batches of 1", "6"),
    ]


def test_one_batch_needs_no_second_column(knots_day: Day, knots_plan: Plan) -> None:
    flour = {"name": "flour", "amount": 390, "unit": "g", "contains": ["wheat"]}
    day = with_facts(knots_day, "scaled", ingredients=[flour])
    scaled = stage_pulls(day, knots_plan)[0]
    assert [size.label for size in sizes(scaled)] == ["In all"]


def test_a_stage_shows_all_that_must_be_fetched(
    client: TestClient, knots_day: Day, knots_plan: Plan
) -> None:
    day = with_facts(
        knots_day,
        "scaled",
        ingredients=[{"name": "flour", "amount": 390, "unit": "g", "contains": ["wheat"]}],
        tools=["scales", "scoop"],
        container="lidded tub",
        look="nothing sticks to the sides",
        caution="Lift the flour bag with two.",
    )
    words = shown(client, stored(day, knots_plan))
    for told in (
        "5 copies in 1 batch",
        "flour contains wheat 1.95 kg",
        "scales and scoop",
        "lidded tub",
        "nothing sticks to the sides",
        "Lift the flour bag with two.",
        "to rack-1, level 1, slot 1: KN-2 for mixed 12:01",
        "take KN-2 scaled, rack-1, level 1, slot 1",
    ):
        assert told in words


def test_a_beat_shows_what_goes_to_set_and_what_comes_back(
    client: TestClient, production: int
) -> None:
    words = shown(client, production, "?by=beat")
    assert "14:00 ready 13:50 KN mix knots-take-1 To set KN-4 scaled" in words
    assert "Back by 14:08 KN-4 mixed, rack-1, level 1, slot 2 for rested 14:23" in words


def test_what_lacks_is_told_loudly(client: TestClient, knots_day: Day, knots_plan: Plan) -> None:
    uses = tuple(
        use.model_copy(update={"copies": (), "backups": ()}) if use.beat == "reveal" else use
        for use in knots_plan.uses
    )
    plan = knots_plan.model_copy(update={"uses": uses})
    words = shown(client, stored(knots_day, plan), "?by=beat")
    assert "short 6 baked" in words
    assert "no backup 6 of baked" in words


def test_batches_of_several_days_say_theirs(client: TestClient, production: int) -> None:
    """A plan of one day says hours alone."""
    day, plan = example_of("studio")
    first = min(plan.batches, key=lambda batch: batch.phases[0].starts).phases[0].starts
    weekday = f"{datetime.fromisoformat(first[:16]):%a}"
    assert f">{weekday} {first[11:16]}</time>" in pulls_of(client, stored(day, plan))
    assert f">{weekday} " not in pulls_of(client, production)


def test_a_stage_with_flour_leads_to_its_bakers_percentages(
    client: TestClient, knots_day: Day, knots_plan: Plan
) -> None:
    """Milk by the cup is weighed by the table: 244 g (USDA SR28)."""
    flour = {"name": "bread flour", "amount": 400, "unit": "g"}
    milk = {"name": "milk", "amount": 1, "unit": "cup"}
    day = with_facts(knots_day, "scaled", ingredients=[flour, milk, {"name": "salt"}])
    page = client.get(f"/productions/{stored(day, knots_plan)}/pulls").text
    address = page.split('href="/sums?')[1].split("#")[0].replace("&amp;", "&")
    assert "61 %" in client.get(f"/sums?{address}").text


def test_a_copy_that_is_lost_is_told_where_it_is_fetched(
    client: TestClient, production: int, knots_plan: Plan
) -> None:
    """Where it is put down, where it is taken, and where it would go to the set."""
    assert "lost KN-" not in shown(client, production)
    lost = {"event": "lost", "by": "Ada", "at": "2027-03-04T13:58"}
    copies = ("knots/mixed/1", "knots/baked/7")
    append(production, [tick_of({**lost, "copy": each, "once": each}) for each in copies])
    tags = {copy.id: copy.tag for copy in knots_plan.copies}
    by_stage, by_beat = shown(client, production), shown(client, production, "?by=beat")
    assert by_stage.count(f"lost {tags['knots/mixed/1']}") == 2
    assert f"lost {tags['knots/baked/7']}" in by_stage
    assert f"lost {tags['knots/baked/7']}" in by_beat
    assert f"lost {tags['knots/mixed/1']}" not in by_beat
