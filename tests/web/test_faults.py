"""What is wrong with a production is told beside the field that it speaks of, in a cook's words."""

from collections.abc import Callable
from typing import Any

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.storage.engine import reading
from app.storage.queries.sheets import sheet
from app.web.faults import Told, faults
from tests.live import stored
from tests.web.editing import Editing

Change = Callable[[dict[str, Any], dict[str, Any]], object]


@pytest.fixture
def told(client: TestClient, golden: Callable[[str], Any]) -> Callable[[Change], list[Told]]:
    """Return what is told of the knots after a change of the day and of its demonstration."""

    def tell(change: Change) -> list[Told]:
        document = golden("knots.day.json")
        change(document, document["demonstrations"][0])
        day = Day.model_validate(document)
        production = stored(day, None)
        with reading() as conn:
            return faults(day, sheet(conn, production))[1]

    return tell


@pytest.mark.parametrize(
    ("change", "about", "field", "words"),
    [
        (
            lambda _, knots: knots["stages"][1]["ways"][0].update(phases=[]),
            "mixed, by mixer",
            "phases",
            "No step yet; add one at least.",
        ),
        (
            lambda _, knots: knots["stages"][2]["ways"][1].update(phases=[{"hands": 1}]),
            "rested, by overnight, step 1",
            "",
            "0 minutes in all; write how long it lasts.",
        ),
        (
            lambda _, knots: knots["stages"][4]["ways"][0]["phases"][0]["equipment"][0].pop(
                "setting"
            ),
            "baked, by deck, step 1, oven",
            "setting",
            "The setting is missing, as “deck-oven” of the kind “oven” has settings; say",
        ),
        (
            lambda _, knots: knots["stages"][0].update({"from": [{"stage": "baked"}]}),
            "scaled, made from baked",
            "taken",
            "Made in a circle",
        ),
        (
            lambda _, knots: knots["stages"][1].update(slots=9),
            "mixed",
            "room",
            "9 in a row are wanted and the widest ambient level has 4",
        ),
        (
            lambda day, _: day["kitchen"]["crew"][0].update(
                shifts=[["2027-03-04T07:00", "2027-03-04T06:00"]]
            ),
            "cook-1, works Thu 4 March",
            "",
            "Ends Thu 4 March, 06:00, not after it starts Thu 4 March, 07:00; mend one of the two.",
        ),
        (
            lambda day, _: day["kitchen"]["crew"][0].update(
                shifts=[
                    ["2027-03-04T07:00", "2027-03-04T16:00"],
                    ["2027-03-04T15:00", "2027-03-04T18:00"],
                ]
            ),
            "cook-1, works Thu 4 March",
            "",
            "Starts Thu 4 March, 15:00, within another shift of “cook-1”; make them one",
        ),
        (
            lambda day, _: day["runs"][0].update(starts="2029-03-04T14:00"),
            "knots-take-1",
            "starts",
            "more than 60 days from the start of the prep",
        ),
    ],
)
def test_a_fault_stands_beside_its_field(
    told: Callable[[Change], list[Told]], change: Change, about: str, field: str, words: str
) -> None:
    """Tests what it is about, which field it belongs to, and the sentence."""
    (fault,) = told(change)
    assert (fault.about, fault.field) == (about, field)
    assert words in fault.words


def test_a_whole_production_has_no_faults(told: Callable[[Change], list[Told]]) -> None:
    """Tests that nothing is told where nothing is wrong."""
    assert told(lambda day, knots: None) == []


def test_whoever_asks_for_a_plan_too_early_is_told_what_is_wrong_and_led_there(
    ada: Editing,
) -> None:
    """In the words of the screens, with the plan that stays: no path of the day file is shown."""
    cook = ada.id("cooks", "cook-1")
    (shift,) = ada.rows().below("cooks", cook, "shifts")
    began = {"ends": shift["ends"]}
    ada.fill(f"shifts/{shift['id']}", "ends", "Wed 3 March, 9:00", began)
    sent = ada.client.post(f"/productions/{ada.production}/plan", headers={"HX-Request": "true"})
    assert sent.status_code == 422
    assert "1 thing must be mended before this can be planned." in sent.text
    assert "cook-1, works Thu 4 March: Ends Wed 3 March, 09:00, not after it starts" in sent.text
    assert f"/productions/{ada.production}/kitchen" in sent.text
    assert "crew[0]" not in sent.text
