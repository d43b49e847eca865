"""Fields and rows are changed from a screen: saved at once, merged, told, taken back."""

import json

import pytest

from app.planning.day import Day
from tests.web.desk import quiet_desk
from tests.web.editing import Editing, day

KNOTS = "demonstrations/knots"


def rested(editing: Editing) -> str:
    """Return the place of the stage that rests."""
    return f"stages/{editing.id('stages', 'rested')}"


def test_a_length_keeps_what_was_typed_beside_what_was_understood(ada: Editing) -> None:
    """Tests the answer, the store and the page after a reload."""
    status, said = ada.fill(rested(ada), "keeps_min", "90 min", 120)
    assert (status, said["text"], said["meant"], said["fault"]) == (200, "90 min", "1 h 30", "")
    assert day(ada).stage("knots", "rested").keeps_min == 90
    page = ada.client.get(f"/productions/{ada.production}/{KNOTS}").text
    assert 'value="90 min"' in page
    assert "Ada" not in said["words"]
    assert "rested: keeps from 2 h to 90 min" in said["words"]


def test_what_is_not_understood_is_kept_and_blocks_nothing(ada: Editing) -> None:
    """Tests the sentence, the last value, and that another field is saved."""
    status, said = ada.fill(rested(ada), "keeps_min", "a whlie", 120)
    assert status == 200
    assert "such as 1 h 20" in said["fault"]
    assert said["meant"] == "still 2 h"
    assert day(ada).stage("knots", "rested").keeps_min == 120
    page = ada.client.get(f"/productions/{ada.production}/{KNOTS}").text
    assert 'value="a whlie"' in page
    assert ada.fill(rested(ada), "cost", "2", 1)[0] == 200
    assert day(ada).stage("knots", "rested").cost == 2


def test_two_people_change_the_same_length(ada: Editing) -> None:
    """Tests that the second is told both values, and may store theirs after that."""
    began = ada.page(KNOTS)[f"{rested(ada)} keeps_min"]
    assert json.loads(began) == [{"keeps_min": 120}, None]
    ada.post("fill", place=rested(ada), field="keeps_min", text="40", began=began)
    ben = ada.post("fill", place=rested(ada), field="keeps_min", text="45", began=began)
    assert ben[0] == 409
    assert "changed this while you were typing" in ben[1]["error"]
    assert (ben[1]["text"], ben[1]["yours"]) == ("40", "45")
    assert day(ada).stage("knots", "rested").keeps_min == 40
    again = {"place": rested(ada), "field": "keeps_min", "text": "45", "began": ben[1]["began"]}
    assert ada.post("fill", **again)[0] == 200
    assert day(ada).stage("knots", "rested").keeps_min == 45


def test_two_people_change_different_fields(ada: Editing) -> None:
    """Tests that both hold, though both pages were opened before."""
    page = ada.page(KNOTS)
    for field, text in (("keeps_min", "40"), ("cost", "3"), ("zone", "chill")):
        sent = {"place": rested(ada), "field": field, "text": text}
        assert ada.post("fill", **sent, began=page[f"{rested(ada)} {field}"])[0] == 200
    stage = day(ada).stage("knots", "rested")
    assert (stage.keeps_min, stage.cost, stage.zone) == (40, 3, "chill")


def test_the_room_of_a_copy_fills_both_of_its_columns(ada: Editing) -> None:
    """Tests a field of two columns that may not both be filled."""
    place = f"stages/{ada.id('stages', 'baked')}"
    began = {"copies_per_slot": 12, "slots": None}
    assert ada.fill(place, "room", "2 slots", began)[0] == 200
    stage = day(ada).stage("knots", "baked")
    assert (stage.copies_per_slot, stage.slots) == (None, 2)


def test_an_input_offers_no_stage_that_is_made_from_its_own(ada: Editing) -> None:
    """Tests that a circle can't be chosen, and that it is told when it is sent all the same."""
    (entry,) = ada.rows().below("stages", ada.id("stages", "rested"), "inputs")
    began = {"demonstration": None, "stage": "mixed"}
    status, said = ada.fill(f"inputs/{entry['id']}", "taken", "baked", began)
    assert status == 200
    assert "There is no “baked” here" in said["fault"]
    assert day(ada).stage("knots", "rested").takes[0].stage == "mixed"
    assert ada.fill(f"inputs/{entry['id']}", "taken", "scaled", began, "baked")[0] == 200
    assert day(ada).stage("knots", "rested").takes[0].stage == "scaled"


def test_a_new_stage_is_told_what_it_lacks_and_the_plan_waits(ada: Editing) -> None:
    """Tests a production that is not whole: saved, told beside its field, not planned."""
    below = json.dumps({"demonstration_id": ada.id("demonstrations", "knots")})
    status, said = ada.post("add", table="stages", below=below, name="Glazed")
    assert status == 200
    stage = day(ada).stage("knots", "glazed")
    assert (stage.called, stage.keeps_min) == ("Glazed", 240)
    beat = json.dumps({"beat_id": ada.id("beats", "reveal")})
    assert ada.post("add", table="needs", below=beat)[0] == 200
    assert day(ada).demonstration("knots").beat("reveal").needs[-1].stage == "glazed"
    page = ada.client.get(f"/productions/{ada.production}/{KNOTS}").text
    assert "1 thing to mend" in page
    assert "“Glazed” is taken by" in page
    with quiet_desk(ada.client) as jobs:
        asked = ada.client.post(f"/productions/{ada.production}/plan", data={"once": "1"})
        assert asked.status_code == 422
        assert "1 thing must be mended" in asked.text
        assert jobs == []
    assert said["place"].startswith("stages/")


def test_a_row_moves_is_duplicated_and_deleted_and_all_is_taken_back(ada: Editing) -> None:
    """Tests each step, and undo and redo as often as there were steps."""
    before = day(ada)
    place = f"stages/{ada.id('stages', 'baked')}"
    assert ada.post("move", place=place, by=-1)[0] == 200
    assert ada.post("duplicate", place=place)[0] == 200
    seen = ada.client.get(f"/productions/{ada.production}/edit/news?seen=0").json()["n"]
    assert ada.post("delete", place=place, seen=seen)[0] == 200
    after = day(ada)
    assert [each.id for each in after.demonstration("knots").stages][-2:] == ["baked-2", "tied"]
    for _ in range(3):
        assert ada.post("undo")[0] == 200
    assert day(ada) == before
    for _ in range(3):
        assert ada.post("redo")[0] == 200
    assert day(ada) == after
    assert ada.post("redo")[0] == 409


def test_a_row_is_dropped_onto_the_place_of_another(ada: Editing) -> None:
    """Tests what a drag sends."""
    place, onto = (f"beats/{ada.id('beats', key)}" for key in ("reveal", "mix"))
    assert ada.post("move", place=place, onto=onto, by=0)[0] == 200
    assert next(each.id for each in day(ada).demonstration("knots").beats) == "reveal"


def test_a_delete_of_what_somebody_changed_unseen_asks(ada: Editing) -> None:
    """Tests that the answer says what was changed, and what to send to delete all the same."""
    seen = ada.client.get(f"/productions/{ada.production}/edit/news").json()["n"]
    ada.fill(rested(ada), "keeps_min", "40", 120)
    status, said = ada.post("delete", place=rested(ada), seen=seen)
    assert status == 409
    assert "Delete all the same?" in said["error"]
    assert ada.post("delete", place=rested(ada), seen=said["seen"])[0] == 200


def test_a_block_of_cells_is_pasted(ada: Editing) -> None:
    """Tests fields over the table, rows beyond it, a text that is not understood, and one undo."""
    before, page = day(ada), ada.page(KNOTS)
    cells = [
        [rested(ada), field, text, page[f"{rested(ada)} {field}"]]
        for field, text in (("name", "Proofed"), ("keeps_min", "1 h 20"), ("cost", "dear"))
    ]
    below = json.dumps({"demonstration_id": ada.id("demonstrations", "knots")})
    new = {"table": "stages", "below": below}
    texts = [
        {"name": "Glazed", "keeps_min": "2 days", "room": "12 to a slot"},
        {"name": "Boxed", "keeps_min": "for ever"},
    ]
    rows = [new | {"texts": each} for each in texts]
    status, _ = ada.post("paste", block=json.dumps({"cells": cells, "rows": rows}))
    assert status == 200
    home = day(ada).demonstration("knots")
    assert (home.stage("rested").called, home.stage("rested").keeps_min) == ("Proofed", 80)
    assert (home.stage("glazed").keeps_min, home.stage("glazed").copies_per_slot) == (2880, 12)
    page_now = ada.client.get(f"/productions/{ada.production}/{KNOTS}").text
    assert 'value="dear"' in page_now
    assert 'value="for ever"' in page_now
    ada.post("undo")
    assert day(ada) == before


def test_a_list_of_lines_becomes_ingredients(ada: Editing) -> None:
    """Tests a list that is pasted from a recipe, and one that is typed."""
    place = ada.id("stages", "scaled")
    below = json.dumps({"stage_id": place})
    rows = [
        {"table": "ingredients", "below": below, "texts": {}, "name": name}
        for name in ("250 g flour", "1 ½ cups milk, warm")
    ]
    assert ada.post("paste", block=json.dumps({"cells": [], "rows": rows}))[0] == 200
    assert ada.post("add", table="ingredients", below=below, name="salt")[0] == 200
    found = day(ada).stage("knots", "scaled").ingredients
    assert [(each.amount, each.unit, each.name) for each in found] == [
        (250, "g", "flour"),
        (1.5, "cups", "milk"),
        (None, "", "salt"),
    ]
    first = ada.rows().below("stages", place, "ingredients")[0]["id"]
    began = {"amount": 250, "unit": "g"}
    assert ada.fill(f"ingredients/{first}", "much", "1/4 kg", began)[0] == 200
    assert day(ada).stage("knots", "scaled").ingredients[0].amount == 0.25


def test_a_tap_that_is_sent_twice_adds_one_row(ada: Editing) -> None:
    """Tests the once-key of a step."""
    below = json.dumps({"demonstration_id": ada.id("demonstrations", "knots")})
    for _ in range(2):
        ada.post("add", table="beats", below=below, name="Taste", once="tap")
    assert [each.called for each in day(ada).demonstration("knots").beats].count("Taste") == 1


def test_the_history_says_who_changed_what_and_takes_it_back(ada: Editing) -> None:
    """Tests the list, and a change further down."""
    ada.fill(rested(ada), "keeps_min", "40", 120)
    ada.fill(rested(ada), "cost", "2", 1)
    text = ada.client.get(f"/productions/{ada.production}/history").text
    assert "the producer changed rested: keeps from 2 h to 40 min." in text
    take = f"runs/{ada.id('runs', 'knots-take-1')}"
    ada.fill(take, "date", "2027-03-06", {"starts": "2027-03-04T14:00"})
    text = ada.client.get(f"/productions/{ada.production}/history").text
    assert "the producer changed knots-take-1: date from Thu 4 March to Sat 6 March." in text
    number = next(n for n in (1, 2, 3) if f'data-n="{n}"' in text)
    assert ada.post("undo", n=number)[0] == 200
    stage = day(ada).stage("knots", "rested")
    assert (stage.keeps_min, stage.cost) == (120, 2)


@pytest.mark.parametrize(
    ("step", "values"),
    [
        (
            "fill",
            {"place": "stages/999999", "field": "cost", "text": "1", "began": '[{"cost":1},null]'},
        ),
        ("fill", {"place": "changes/1", "field": "words", "text": "x", "began": "[{},null]"}),
        ("fill", {"place": "stages/1", "field": "key", "text": "x", "began": '[{"key":"a"},null]'}),
        ("fill", {"place": "stages/1", "field": "cost", "text": "1", "began": "nonsense"}),
        ("fill", {"place": "stages/1", "field": "cost", "text": "1", "began": '[{"id":1},null]'}),
        ("add", {"table": "plans", "below": "{}"}),
        ("add", {"table": "stages", "below": '{"demonstration_id": 999999}'}),
        ("add", {"table": "stages", "below": '{"demonstration_id": "1"}'}),
        ("move", {"place": "nowhere"}),
        ("delete", {"place": "stages/999999", "seen": 1}),
        ("paste", {"block": "[]"}),
        ("paste", {"block": '{"cells": [[1, 2, 3, 4]], "rows": []}'}),
        ("undo", {"n": 4711}),
    ],
)
def test_nonsense_is_refused_with_a_sentence(
    ada: Editing, step: str, values: dict[str, object]
) -> None:
    """Tests that nothing breaks and nothing changes."""
    before = day(ada)
    status, said = ada.post(step, **values)
    assert status in (404, 422)
    assert said["error"]
    assert day(ada) == before


def test_another_production_is_out_of_reach(ada: Editing, knots_day: Day) -> None:
    """Tests that a place of one production is not there in another."""
    from tests.live import stored

    other = Editing(ada.client, stored(knots_day, None))
    assert other.fill(rested(ada), "keeps_min", "40", 120)[0] == 404
    below = json.dumps({"demonstration_id": ada.id("demonstrations", "knots")})
    assert other.post("add", table="stages", below=below, name="x")[0] == 404


SCREENS = """
demonstrations demonstrations/knots history rundown count board list pulls shelves papers kitchen
shopping allergens today files begin demonstrations/knots/beside
"""


@pytest.mark.parametrize("is_planned", [True, False])
def test_every_screen_stands_while_a_production_is_not_whole(
    ada: Editing, knots_day: Day, is_planned: bool
) -> None:
    """Tests a way without steps, a stage that nothing makes, one that is gone, and no beats."""
    from tests.live import stored

    at_work = ada if is_planned else Editing(ada.client, stored(knots_day, None))
    home = json.dumps({"demonstration_id": at_work.id("demonstrations", "knots")})
    at_work.post("add", table="stages", below=home, name="Glazed")
    baked, seen = at_work.id("stages", "baked"), at_work.rows().n
    at_work.post("add", table="ways", below=json.dumps({"stage_id": baked}), name="by sun")
    at_work.post("add", table="needs", below=json.dumps({"beat_id": at_work.id("beats", "mix")}))
    at_work.post(
        "add", table="demonstrations", below=json.dumps({"production_id": at_work.production})
    )
    for place in (
        f"stages/{at_work.id('stages', 'scaled')}",
        f"beats/{at_work.id('beats', 'tie')}",
    ):
        assert at_work.post("delete", place=place, seen=seen)[0] == 200
    for screen in SCREENS.split():
        answer = at_work.client.get(f"/productions/{at_work.production}/{screen}")
        assert answer.status_code in (200, 404), screen
    page = at_work.client.get(f"/productions/{at_work.production}/demonstrations/knots").text
    assert "to mend</strong> before this can be planned" in page


def test_a_count_that_takes_long_is_asked_for_again(
    ada: Editing, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A bound stands there at first, and the page asks for the proof by itself, once."""
    monkeypatch.setattr("app.planning.rough.HASTE", 1e-6)
    address = f"/productions/{ada.production}/{KNOTS}/beside"
    again = f'hx-get="{address}?whole=yes" hx-trigger="load"'
    first = ada.client.get(address).text
    assert again in first
    assert "eing counted" in first
    whole = ada.client.get(f"{address}?whole=yes").text
    assert "<strong>48</strong> in cost" in whole
    assert again not in whole
