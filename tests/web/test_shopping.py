"""The shopping list on its screen: of one production or several, with the house's packs."""

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.listing import WHOLE
from app.planning.plan import Plan
from tests.live import stored
from tests.paper.opened import Opened
from tests.planning.test_pulls import changed
from tests.web.test_larder import PART, put

FLOUR = {"name": "flour", "pack_amount": "1.5", "pack_unit": "kg", "price": "2.10"}


@pytest.fixture
def floury(client: TestClient, knots_day: Day, knots_plan: Plan) -> int:
    """Return a planned production whose five doughs take flour and salt."""
    told = [{"name": "flour", "amount": 390, "unit": "g", "contains": ["wheat"]}, {"name": "salt"}]
    day = changed(knots_day, "scaled", ingredients=told, container="tub")
    return stored(day, knots_plan.model_copy(update={"day": None}))


def asked(client: TestClient, id: int, query: str = "") -> str:
    """Return the page as one line of text."""
    answer = client.get(f"/productions/{id}/shopping{query}", headers=PART)
    assert answer.status_code == 200
    return " ".join(answer.text.split())


def test_what_recipes_take_is_added_up(client: TestClient, floury: int) -> None:
    """Five doughs of 390 g; salt to taste; nobody has said a price."""
    page = asked(client, floury)
    assert '<td class="num" data-label="buy">1.95 kg</td>' in page
    assert '<td class="num" data-label="buy">to taste</td>' in page
    assert "contains wheat" in page
    assert "No prices yet" in page


def test_packs_prices_and_costs_come_from_the_larder(client: TestClient, floury: int) -> None:
    """Two packs are 4.20; of them 1.95 kg is used, 2.73, and a dough is 0.546."""
    client.post("/larder/choices", data={"units": "metric", "currency": "€"}, headers=PART)
    put(client, **FLOUR, place="Dry store")
    page = asked(client, floury)
    assert "<h2>Dry store</h2>" in page
    assert "2 × 1.5 kg" in page.replace(WHOLE, " ")
    assert "Whole packs cost <strong>€ 4.20</strong>" in page
    assert "plan 1 <strong>at least € 2.73</strong>" in page
    assert 'data-label="one copy">at least € 0.55' in page
    assert "Without a price: salt." in page


def test_what_is_held_is_not_bought(client: TestClient, floury: int) -> None:
    put(client, **FLOUR, held_amount="2", held_unit="kg")
    page = asked(client, floury)
    assert '<tr class="is-there"><th scope="row">flour' in page
    assert "nothing<span" in page


def test_several_productions_are_bought_for_at_once(
    client: TestClient, floury: int, knots_day: Day, knots_plan: Plan
) -> None:
    more = changed(
        knots_day, "scaled", ingredients=[{"name": "flour", "amount": 0.1, "unit": "kg"}]
    )
    other = stored(more, knots_plan.model_copy(update={"day": None}))
    page = asked(client, floury, f"?with={other}&with=999&with={floury}")
    assert "and 1 other production takes" in page
    assert "2.45 kg" in page
    assert f'value="{other}" checked' in page


def test_tools_and_tins_are_listed_with_the_most_in_use(client: TestClient, floury: int) -> None:
    page = asked(client, floury)
    assert "<h3>Equipment</h3>" in page
    assert '<strong>2 <span class="soft">of 2</span></strong> <span>oven' in page
    assert "<h3>Tins and containers</h3>" in page


def test_without_a_plan_it_says_what_to_do(client: TestClient, knots_day: Day) -> None:
    page = asked(client, stored(knots_day, None))
    assert "There is no plan yet, so nobody knows how much to buy." in page


def test_without_ingredients_it_says_so(client: TestClient, production: int) -> None:
    assert "No ingredients are written down" in asked(client, production)


def test_no_such_production_has_a_list(client: TestClient) -> None:
    assert client.get("/productions/99/shopping").status_code == 404
    assert client.get("/productions/99/shopping?with=x").status_code == 422


def test_the_list_is_printed_with_the_houses_packs(client: TestClient, floury: int) -> None:
    """And again once a price has changed, though nobody has waited a minute."""
    address = f"/productions/{floury}/papers/shopping.pdf?size=a4"
    assert "Without a place" not in Opened(client.get(address).content).words
    put(client, **FLOUR, place="Dry store")
    opened = Opened(client.get(address).content)
    assert "Dry store" in opened.words
    assert "2 × 1.5 kg" in opened.words.replace(WHOLE, " ")
    assert "4.20" in opened.words


def test_a_list_of_several_is_printed_as_one(
    client: TestClient, floury: int, knots_day: Day, knots_plan: Plan
) -> None:
    told = [{"name": "flour", "amount": 0.1, "unit": "kg"}]
    more = changed(knots_day, "scaled", ingredients=told).model_copy(update={"title": "Other"})
    other = stored(more, knots_plan.model_copy(update={"day": None}))
    address = f"/productions/{floury}/papers/shopping.pdf?size=a4&beside={other},999,x"
    opened = Opened(client.get(address).content)
    assert "2.45 kg" in opened.words
    assert "Other, plan 1" in opened.words


def test_the_pull_list_follows_the_measures_of_the_house(client: TestClient, floury: int) -> None:
    """Five doughs of 390 g are 4 lb 4¾ oz."""
    address = f"/productions/{floury}/pulls"
    assert "1.95 kg" in client.get(address).text
    client.post("/larder/choices", data={"units": "us", "currency": "$"}, headers=PART)
    assert "4 lb 4¾ oz" in client.get(address).text
