"""The larder on its screen: described, changed by two at once, taken out, taken back."""

import json
from fractions import Fraction
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from app.exchange.larderfile import load_larder
from app.food.larder import FIELDS

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}
EGG = {"name": "egg", "pack_amount": "12", "price": "3.60", "place": "Fridge"}


def put(client: TestClient, began: dict[str, str] | None = None, **fields: str) -> Response:
    """Send the form as the page sends it; `began` is what it showed."""
    shown = {f"began_{field}": (began or {}).get(field, "") for field in FIELDS}
    known = "no" if began is None else "yes"
    kept = dict.fromkeys(FIELDS, "") | (began or {})
    return client.post("/larder", data=kept | shown | {"is_known": known} | fields, headers=PART)


def test_an_empty_larder_says_what_to_do_first(client: TestClient) -> None:
    page = client.get("/larder").text
    assert "Nothing in the larder yet" in page
    assert "<html" in page


def test_what_is_put_in_stands_by_its_place(client: TestClient) -> None:
    part = put(client, **EGG).text
    assert "The producer put “egg” in the larder: pack amount 12, price 3.60, place Fridge" in part
    assert "<h2>Fridge</h2>" in part
    assert 'data-label="price">3.60' in part


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"name": ""}, "What is it called? Write the name that recipes use."),
        ({"pack_amount": "many"}, "A number above 0 to 1000000, such as 2.5, not many."),
        ({"pack_amount": "0"}, "A number above 0"),
        ({"pack_amount": ""}, "A price is of a pack: how much is in it?"),
        ({"pack_amount": "", "price": "", "pack_unit": "kg"}, "How many kg?"),
        ({"price": "-1"}, "A number from 0"),
        ({"yield_percent": "101"}, "A number above 0 to 100"),
        ({"measure_grams": "5"}, "How many grams does which measure weigh?"),
        ({"place": "x" * 81}, "At most 80 characters"),
        ({"held_amount": "1e999999999"}, "A number from 0"),
        ({"held_amount": "nan"}, "A number from 0"),
    ],
)
def test_what_cannot_be_used_is_said_and_nothing_typed_is_lost(
    client: TestClient, fields: dict[str, str], said: str
) -> None:
    answer = put(client, **EGG | {"measure_unit": "tray"} | fields)
    assert answer.status_code == 422
    assert said in answer.text
    assert 'value="tray"' in answer.text
    assert "Nothing in the larder yet" in client.get("/larder").text


def test_a_form_sent_twice_changes_once(client: TestClient) -> None:
    put(client, **EGG, once="one")
    put(client, **EGG | {"price": "9"}, once="one")
    assert 'data-label="price">3.60' in client.get("/larder").text


def test_two_people_change_different_fields_of_one_good(client: TestClient) -> None:
    """Neither loses the other's."""
    put(client, **EGG)
    began = dict.fromkeys(FIELDS, "") | {key: EGG[key] for key in EGG if key != "name"}
    put(client, began, name="egg", price="4")
    part = put(client, began, name="egg", place="Cellar").text
    assert 'data-label="price">4<' in part
    assert "<h2>Cellar</h2>" in part


def test_two_people_change_the_same_price(client: TestClient) -> None:
    put(client, **EGG)
    began = dict.fromkeys(FIELDS, "") | {key: EGG[key] for key in EGG if key != "name"}
    put(client, began, name="egg", price="4")
    answer = put(client, began, name="egg", price="5")
    assert answer.status_code == 409
    assert "The producer changed “egg” while you typed: “4” where you have “5”." in answer.text
    assert 'name="price" class="short" autocomplete="off" value="5"' in answer.text
    assert 'name="began_price" value="4"' in answer.text
    again = put(client, began | {"price": "4"}, name="egg", price="5").text
    assert 'data-label="price">5<' in again


def test_a_good_is_taken_out_and_that_taken_back(client: TestClient) -> None:
    put(client, **EGG)
    gone = client.post("/larder/removals", data={"name": "egg"}, headers=PART).text
    assert "took “egg” out of the larder" in gone
    back = client.post("/larder/undo/2", headers=PART).text
    assert 'data-label="price">3.60' in back
    assert client.post("/larder/undo/1", headers=PART).status_code == 200
    assert "Nothing in the larder yet" in client.get("/larder").text


def test_what_changed_again_since_is_not_taken_back(client: TestClient) -> None:
    put(client, **EGG)
    client.post("/larder/removals", data={"name": "egg"}, headers=PART)
    answer = client.post("/larder/undo/1", headers=PART)
    assert answer.status_code == 422
    assert "has changed again since" in answer.text
    assert client.post("/larder/undo/99", headers=PART).status_code == 404


def test_what_is_not_there_cannot_be_taken_out(client: TestClient) -> None:
    answer = client.post("/larder/removals", data={"name": "yak"}, headers=PART)
    assert answer.status_code == 404


def test_measures_and_money_are_chosen_once(client: TestClient) -> None:
    part = client.post("/larder/choices", data={"units": "us", "currency": "$"}, headers=PART).text
    assert '<option value="us" selected>' in part
    assert "Price, $" in put(client, **EGG).text
    wrong = client.post("/larder/choices", data={"units": "stones"}, headers=PART)
    assert wrong.status_code == 422


def test_the_form_tells_what_tables_know(client: TestClient) -> None:
    """Source: USDA SR28."""
    page = client.get("/larder?name=potatoes").text
    assert "75 % without parings and trimmings (USDA SR28 11352, refuse)" in page
    assert (
        "1 cup weighs 137 g (USDA SR28 20083, cup)" in client.get("/larder?name=bread+flour").text
    )
    assert "No table knows what a measure of it weighs" in client.get("/larder?name=yak").text


def test_the_file_of_the_larder_is_what_the_command_line_reads(client: TestClient) -> None:
    put(client, **EGG)
    client.post("/larder/choices", data={"units": "metric", "currency": "€"}, headers=PART)
    answer = client.get("/larder.json")
    told: Any = json.loads(answer.content)
    assert told["goods"] == [EGG]
    read = load_larder(answer.content)
    assert (read.system, read.currency, read.good("Egg").packs[0].price) == (
        "metric",
        "€",
        Fraction(18, 5),
    )


def test_names_are_not_taken_for_markup(client: TestClient) -> None:
    part = put(client, name="<b>egg</b>", place="<i>x</i>").text
    assert "<b>egg</b>" not in part
    assert "&lt;b&gt;egg" in part


def test_only_a_shopping_list_is_led_back_to(client: TestClient) -> None:
    assert "evil" not in client.get("/larder?back=//evil.example").text
    assert "/productions/1/shopping" in client.get("/larder?back=/productions/1/shopping").text


def test_without_script_the_whole_page_comes_back(client: TestClient) -> None:
    """A plain form, sent by a browser that runs nothing."""
    answer = client.post("/larder", data=EGG)
    assert answer.status_code == 200
    assert "<html" in answer.text
    assert "in the larder: pack amount 12" in answer.text
    assert "<html" in client.post("/larder", data=EGG | {"price": "x"}).text


def test_a_good_is_sold_in_several_sizes(client: TestClient) -> None:
    """The second size stands in the table, and its faults beside it."""
    two = EGG | {"pack_2_amount": "30", "price_2": "7.90"}
    part = put(client, **two).text
    assert "12 <br>30 " in part
    assert "3.60<br>7.90" in part
    wrong = put(client, **(EGG | {"name": "milk", "price_2": "2"}))
    assert wrong.status_code == 422
    assert "A price is of a pack: how much is in it?" in wrong.text
