"""What the screens of demonstrations and of the kitchen show."""

import re

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from tests.live import stored

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


@pytest.mark.parametrize(
    "screen",
    ["demonstrations", "demonstrations/knots", "demonstrations/knots/beside", "kitchen", "history"],
)
def test_each_has_a_page_and_a_part(client: TestClient, production: int, screen: str) -> None:
    """The page for a visit, the part alone for a swap; a post adds only demonstrations."""
    address = f"/productions/{production}/{screen}"
    assert "<html" in client.get(address).text
    part = client.get(address, headers=PART)
    assert part.status_code == 200
    assert "<html" not in part.text
    assert client.post(address).status_code == (422 if screen == "demonstrations" else 405)
    assert client.get(f"/productions/99/{screen}").status_code == 404


def test_a_demonstration_is_told_whole(client: TestClient, production: int) -> None:
    """Stages, ways, beats, and the swap chart above them."""
    page = client.get(f"/productions/{production}/demonstrations/knots").text
    assert "Swap chart of Cardamom knots" in page
    shown = re.findall(r'value="([^"]*)" aria-label="([^"]*)"', page)
    assert ("12", "tied: a set gives") in shown
    assert ("24", "tied, by hand: most at once") in shown
    assert ("10 h", "rested, by overnight, step 1: lasts") in shown
    assert ("6", "reveal, needs baked: backups") in shown


def test_every_word_of_the_examples_is_shown(client: TestClient, example_day: Day) -> None:
    """Ingredients, tools, looks, cautions and phases of the studio day."""
    import html

    production = stored(example_day, None)
    for shown in example_day.demonstrations:
        address = f"/productions/{production}/demonstrations/{shown.id}"
        page = html.unescape(client.get(address).text)
        for stage in shown.stages:
            said = [stage.called, stage.look, stage.caution, stage.container, *stage.tools]
            said += [each.name for each in stage.ingredients]
            said += [phase.does for way in stage.ways for phase in way.phases]
            assert [words for words in said if words not in page] == []


def test_a_demonstration_that_is_not_there(client: TestClient, production: int) -> None:
    """The sentence leads back to the list."""
    missing = client.get(f"/productions/{production}/demonstrations/none")
    assert missing.status_code == 404
    assert "All demonstrations" in missing.text


def test_the_kitchen_has_everybody_and_everything(client: TestClient, example_day: Day) -> None:
    """Equipment, crew and shelves by their names."""
    page = client.get(f"/productions/{stored(example_day, None)}/kitchen").text
    kitchen = example_day.kitchen
    for each in (*kitchen.equipment, *kitchen.crew, *kitchen.shelves):
        assert each.called in page


def test_stock_house_rules_and_people_are_shown(client: TestClient, knots_day: Day) -> None:
    """What the day says of them; people are checked against what they avoid."""
    from app.planning.day import Person, Policy, Stock

    stock = Stock(
        id="old", demonstration="knots", stage="rested", count=3, staged="2027-03-03T20:00"
    )
    tasters = (Person(name="Ines", avoids=("milk", "egg")),)
    runs = (knots_day.runs[0].model_copy(update={"people": tasters}), *knots_day.runs[1:])
    policy = Policy(reuse=False, confidence=0.975, step_slack_min=15, prefer="fresh")
    update = {"stock": (stock,), "runs": runs, "policy": policy}
    production = stored(knots_day.model_copy(update=update), None)
    kitchen = client.get(f"/productions/{production}/kitchen").text
    assert 'aria-label="in stock, rested: copies"' in kitchen
    assert 'value="Wed 3 March, 20:00"' in kitchen
    assert 'value="97.5 %"' in kitchen
    assert "<option selected>fresher copies</option>" in kitchen
    assert 'value="15 min" aria-label="Harvest hour: ready before a batch"' in kitchen
    rundown = client.get(f"/productions/{production}/rundown").text
    assert "May taste: Ines (avoids milk, egg)." in rundown
    assert "Nothing that they avoid goes into it, as far as the recipe says." in rundown


def test_an_empty_kitchen_says_so(client: TestClient, knots_day: Day) -> None:
    """The empty state, here and for a day without demonstrations."""
    from app.planning.day import Kitchen

    update = {"kitchen": Kitchen(), "demonstrations": (), "runs": ()}
    production = stored(knots_day.model_copy(update=update), None)
    assert "This kitchen is empty" in client.get(f"/productions/{production}/kitchen").text
    listed = client.get(f"/productions/{production}/demonstrations").text
    assert "No demonstrations" in listed
    assert "No runs yet" in client.get(f"/productions/{production}/rundown").text
