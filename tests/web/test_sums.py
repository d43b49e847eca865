"""Kitchen sums by plain forms: each answers, and says what it cannot use."""

import pytest
from fastapi.testclient import TestClient

from app.food.sums import sums
from tests.web.test_larder import put


def asked(client: TestClient, key: str, **fields: str) -> str:
    """Return the page with a sum worked out, as one line."""
    answer = client.get("/sums", params={"sum": key, **fields})
    assert answer.status_code == 200, answer.text
    return " ".join(answer.text.split())


def test_the_page_offers_every_sum(client: TestClient) -> None:
    page = client.get("/sums").text
    assert all(f'<section id="{key}"' in page for key in sums())
    assert "comes-to" not in page


@pytest.mark.parametrize("key", sorted(sums()))
def test_what_stands_there_at_first_can_be_worked_out(client: TestClient, key: str) -> None:
    assert 'class="comes-to"' in asked(client, key)


@pytest.mark.parametrize(
    ("key", "fields", "said"),
    [
        ("weigh", {"amount": "1½", "unit": "cups"}, "1.5 cups of bread flour = 205.5 g"),
        ("weigh", {}, "By USDA SR28 20083, cup."),
        ("weigh", {"amount": "300", "unit": "g", "to": "cup", "of": "sugar"}, "= 1.5 cup"),
        ("weigh", {"amount": "2", "unit": "lb", "to": "kg", "of": ""}, "2 lb = 0.91 kg"),
        ("weigh", {"amount": "3", "unit": "", "to": "g", "of": "eggs"}, "3 of eggs = 150 g"),
        ("formula", {"pieces": "73", "parts": "flour 100\nwater 67\nsalt 2\nyeast 1"}, "28.47 kg"),
        ("formula", {"parts": "flour 100 %\nwater 67 %"}, "at 167 %"),
        ("percents", {"parts": "flour 500 g\nwater 340 g"}, "68 %"),
        ("percents", {"parts": "spelt 500\nwater 340", "flours": "spelt"}, "Flour: spelt."),
        ("yield", {"of": "watermelon", "amount": "2", "unit": "lb"}, "3.28 lb to buy"),
        ("yield", {"of": "watermelon"}, "at 61 % (USDA Food Buying Guide)"),
        ("yield", {"find": "what can be used", "percent": "75", "amount": "400"}, "300 g to use"),
        ("loss", {}, "573.26 g of dough gives 500 g, less 2 % then 11 %."),
        (
            "water",
            {"scale": "°F", "wanted": "80", "flour": "65", "room": "75", "friction": "35"},
            "Water at 65 °F.",
        ),
        ("water", {"wanted": "18", "friction": "30"}, "Water at −18 °C."),
        ("water", {"wanted": "18", "friction": "30"}, "colder than water can be"),
        ("friction", {}, "friction is 24 °C"),
        ("ice", {"tap": "20", "wanted": "10"}, "100 g of ice and 900 g of water"),
        ("pans", {"unit": "in", "long": "26", "wide": "18"}, "half sheet pan"),
        ("pans", {"long": "530", "wide": "325"}, "does not fit"),
        ("pans", {"high": "600"}, "6 levels."),
    ],
)
def test_sums_come_to_what_they_should(
    client: TestClient, key: str, fields: dict[str, str], said: str
) -> None:
    assert said in asked(client, key, **fields)


@pytest.mark.parametrize(
    ("key", "fields", "said"),
    [
        ("weigh", {"of": "yak butter"}, "Not known: what a cup of yak butter weighs."),
        ("weigh", {"amount": "lots"}, "A number such as 2.5 or 1 1/2, not lots."),
        ("weigh", {"amount": ""}, "A number such as 2.5 or 1 1/2, not nothing."),
        ("weigh", {"amount": "9" * 13}, "A number such as"),
        ("formula", {"pieces": "0"}, "This has to be above 0."),
        ("formula", {"parts": "flour"}, "A name and a number on each line, not “flour”."),
        ("formula", {"parts": "x" * 2001}, "At most 2000 characters."),
        ("percents", {"parts": "water 3"}, "there is none"),
        ("yield", {"of": "yak", "percent": ""}, "Not known: what trimming leaves of yak."),
        ("yield", {"percent": "120"}, "120 % is no yield"),
        ("yield", {"find": "everything"}, "One of: what to buy, what can be used."),
        ("loss", {"losses": "two"}, "Percentages with blanks between them"),
        ("loss", {"losses": "100"}, "0 % is no yield"),
        ("water", {"scale": "K"}, "One of: °C, °F."),
        ("ice", {"wanted": "-300"}, "chill the flour"),
        ("pans", {"long": "-4"}, "A number such as"),
    ],
)
def test_what_cannot_be_worked_out_is_said_beside_its_field(
    client: TestClient, key: str, fields: dict[str, str], said: str
) -> None:
    answer = client.get("/sums", params={"sum": key, **fields})
    assert answer.status_code == 422
    assert said in answer.text
    assert 'role="alert"' in answer.text


def test_what_was_typed_stays(client: TestClient) -> None:
    page = client.get("/sums", params={"sum": "weigh", "of": "<i>yak</i>", "amount": "7"}).text
    assert 'value="&lt;i&gt;yak&lt;/i&gt;"' in page
    assert 'value="7"' in page


def test_the_houses_own_row_goes_before_the_table(client: TestClient) -> None:
    put(client, name="bread flour", measure_amount="1", measure_unit="cup", measure_grams="130")
    assert "= 195 g" in asked(client, "weigh", amount="1 1/2", unit="cups")
    assert "By the house’s own row." in asked(client, "weigh", amount="1", unit="cup")


def test_a_sum_that_nobody_knows_is_only_the_page(client: TestClient) -> None:
    answer = client.get("/sums?sum=gravity")
    assert answer.status_code == 200
    assert "comes-to" not in answer.text


def test_a_mixers_friction_is_kept_for_the_next_dough(client: TestClient) -> None:
    """It is the house's, and recorded as its other choices are."""
    page = asked(client, "friction")
    assert 'action="/sums/mixers"' in page
    told = {"mixer": "the big one", "degrees": "24", "scale": "°C", "once": "one"}
    assert client.post("/sums/mixers", data=told).status_code == 200
    page = client.get("/sums").text
    assert "the big one, 24 °C" in page
    assert "chose friction of the big one 24 °C" in client.get("/larder").text
    assert "Water at" in asked(client, "water", friction="24", scale="°C")


@pytest.mark.parametrize("told", [{}, {"mixer": "a", "degrees": "x"}, {"mixer": "a" * 61}])
def test_a_friction_that_is_none_is_not_kept(client: TestClient, told: dict[str, str]) -> None:
    answer = client.post("/sums/mixers", data={"degrees": "1", "scale": "°C"} | told)
    assert answer.status_code == 422
