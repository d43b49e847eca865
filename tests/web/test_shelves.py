"""The shelf map: what stands where at a minute, drawn from the front."""

import json
from datetime import datetime
from importlib.resources import files

from fastapi.testclient import TestClient

from app.exchange.dayfile import load_day, load_plan
from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.standing import standing_at, stays
from app.web.charts.shelves import units
from seed_demo import example
from tests.live import stored
from tests.web.test_crew_pages import words_of

MINUTE = Clock("Europe/Lisbon").minute


def example_of(name: str) -> tuple[Day, Plan]:
    """Return an example with the plan that comes along."""
    plan = files("seed_demo").joinpath(f"{name}.plan.json").read_bytes()
    return load_day(example(name)), load_plan(plan)


def shelves(client: TestClient, production: int, question: str) -> str:
    """Return the shelf map as HTML."""
    return client.get(f"/productions/{production}/shelves?{question}").text


def test_levels_are_drawn_from_the_top_with_their_slots(knots_day: Day, knots_plan: Plan) -> None:
    here = standing_at(stays(knots_day, knots_plan), MINUTE("2027-03-04T12:30"))
    rack, fridge = units(knots_day, here)
    assert [len(level) for level in rack.levels] == [4, 4, 4, 4]
    assert [len(level) for level in fridge.levels] == [2, 2, 2]
    assert (rack.taken, rack.slots, fridge.taken) == (5, 16, 0)
    assert rack.levels[1][0].stays[0].label == "KN-2"


def test_a_copy_of_several_slots_lies_side_by_side(knots_day: Day, knots_plan: Plan) -> None:
    document = json.loads(knots_day.model_dump_json(by_alias=True))
    scaled = document["demonstrations"][0]["stages"][0]
    scaled["slots"] = 2
    day = Day.model_validate(document)
    here = standing_at(stays(day, knots_plan), MINUTE("2027-03-04T11:50"))
    slots = units(day, [stay for stay in here if stay.slot == 1])[0].levels[0]
    assert [(slot.number, slot.wide) for slot in slots] == [(1, 2), (3, 1), (4, 1)]


def test_the_slider_shows_a_minute(client: TestClient, production: int) -> None:
    html = shelves(client, production, f"at={MINUTE('2027-03-04T12:30')}")
    assert '<time class="huge" id="hour">12:30</time>' in html
    assert '<span class="taken">5</span> of 16 taken' in html
    assert "Next change, 12:41" in html


def test_all_that_stands_there_in_the_day_is_on_the_page(
    client: TestClient, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """So that it can be slid over without a network; each wait once, each change with its hour."""
    html = shelves(client, production, f"at={MINUTE('2027-03-04T12:30')}")
    kept = html.split('<template id="stays">')[1].split("</template>")[0]
    waits = stays(knots_day, knots_plan)
    assert kept.count('<div class="stay') == len(waits)
    told = json.loads(html.split('id="hours">')[1].split("</script>")[0])
    assert {minute for stay in waits for minute in (stay.starts, stay.ends)} == set(told["changes"])
    assert told["hours"][str(MINUTE("2027-03-04T12:41"))] == "12:41"


def test_without_a_minute_it_shows_when_most_stands_there(
    client: TestClient, production: int
) -> None:
    """Five places are taken from 12:13 on, two of them by doughs that rest."""
    html = shelves(client, production, "")
    assert '<time class="huge" id="hour">12:13</time>' in html
    assert '<span class="taken">5</span> of 16 taken' in html


def test_before_its_days_it_opens_on_the_fullest_of_them(client: TestClient) -> None:
    """On the first of them nothing stands but what was in stock before."""
    day, plan = example_of("studio")
    html = shelves(client, stored(day, plan), "")
    assert 'aria-current="page">Thu 13 May</a>' in html


def test_a_minute_of_another_day_is_moved_into_this_one(
    client: TestClient, production: int
) -> None:
    assert '<time class="huge" id="hour">15:35</time>' in shelves(
        client, production, "at=999999999"
    )


def test_a_copy_is_found_by_its_tag_however_it_is_typed(
    client: TestClient, production: int
) -> None:
    html = shelves(client, production, f"tag=%20kn-2&at={MINUTE('2027-03-04T12:30')}")
    assert "12:13 to 13:13" in html
    assert "rack-1, level 2, slot 1" in html
    assert "is-found" in html


def test_a_wait_over_night_says_its_days(client: TestClient, production: int) -> None:
    """Else *16:22 to 11:11* would read as a mistake."""
    at = MINUTE("2027-03-04T12:30")
    html = shelves(client, production, f"tag=kn-2&at={at}")
    assert "<b>12:13 to 13:13</b>" in html
    day, plan = example_of("studio")
    found = stays(day, plan)
    clock = Clock(day.timezone)
    wait = next(each for each in found if clock.date(each.starts) < clock.date(each.ends))
    asked = f"tag={wait.tags[0]}&day={clock.date(wait.ends)}"
    html = shelves(client, stored(day, plan), asked)
    weekday = f"{datetime.fromisoformat(clock.text(wait.starts)[:16]):%a}"
    assert f"<b>{weekday} {clock.hour(wait.starts)} to {clock.hour(wait.ends)}</b>" in html


def test_a_tag_that_stands_nowhere_is_told(client: TestClient, production: int) -> None:
    assert "No copy “XX-1” stands on a shelf" in shelves(client, production, "tag=XX-1")


def test_a_kitchen_without_shelves_says_so(
    client: TestClient, knots_day: Day, knots_plan: Plan
) -> None:
    bare = knots_day.model_copy(
        update={"kitchen": knots_day.kitchen.model_copy(update={"shelves": ()})}
    )
    copies = tuple(copy.model_copy(update={"places": ()}) for copy in knots_plan.copies)
    batches = tuple(
        batch.model_copy(
            update={"phases": tuple(p.model_copy(update={"places": None}) for p in batch.phases)}
        )
        for batch in knots_plan.batches
    )
    plan = knots_plan.model_copy(update={"copies": copies, "batches": batches})
    assert "no shelves yet" in shelves(client, stored(bare, plan), "")


def test_raw_food_says_so_where_it_stands(
    client: TestClient, knots_day: Day, knots_plan: Plan
) -> None:
    """Raw below ready to eat (Food Code 3-302.11); the planner places it so, the map says it."""
    document = knots_day.model_dump(mode="json", by_alias=True)
    document["demonstrations"][0]["stages"][0]["raw_animal"] = True
    raw = stored(Day.model_validate(document), knots_plan)
    words = " ".join(words_of(client.get(f"/productions/{raw}/shelves").text).split())
    assert "RAW stays below all that is ready to eat" in words
    assert "RAW scaled" in words
    assert words.count("RAW scaled") > words.count("RAW mixed")
