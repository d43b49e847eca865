"""Blocks of cells from a spreadsheet, over every kind of row and beyond it as new ones."""

import json

from tests.web.editing import Editing, day

KNOTS = "demonstrations/knots"


def pasted(ada: Editing, screen: str, cells: dict[str, str], rows: list[dict] = ()) -> None:
    """Paste texts over fields, `place field`, and rows beyond them."""
    page = ada.page(screen)
    sent = [[*at.split(" "), text, page[at]] for at, text in cells.items()]
    status, said = ada.post("paste", block=json.dumps({"cells": sent, "rows": list(rows)}))
    assert status == 200, said


def new(table: str, below: dict[str, int], **texts: str) -> dict:
    """Return a row that goes beyond a table."""
    return {"table": table, "below": json.dumps(below), "texts": texts}


def test_a_pasted_kind_brings_its_usual_start_along(ada: Editing) -> None:
    """A pickup starts at its first beat, unless the block itself says otherwise."""
    take = f"runs/{ada.id('runs', 'knots-take-1')}"
    pasted(ada, "rundown/table", {f"{take} kind": "pickup"})
    assert day(ada).run("knots-take-1").starts_at_first_beat
    assert ada.post("undo")[0] == 200
    pasted(ada, "rundown/table", {f"{take} kind": "pickup", f"{take} starts_at_first_beat": "no"})
    assert not day(ada).run("knots-take-1").starts_at_first_beat


def test_a_rundown_is_pasted(ada: Editing) -> None:
    """Tests a date and an hour over one run, two new ones, people, beats, and one undo."""
    before = day(ada)
    take = f"runs/{ada.id('runs', 'knots-take-1')}"
    below = {"production_id": ada.production}
    cells = {f"{take} date": "Fri 5 March", f"{take} hour": "9.15", f"{take} stations": "2"}
    rows = [
        new(
            "runs",
            below,
            name="Dry run",
            date="Wed 3 March",
            hour="18:00",
            demonstration="Cardamom knots",
            kind="rehearsal",
            dry="yes",
        ),
        new(
            "runs",
            below,
            name="Close-ups",
            date="2027-03-05",
            hour="11h30",
            kind="pickup",
            beats="from tie",
            people="Ines avoids milk; Ben",
        ),
    ]
    pasted(ada, "rundown/table", cells, rows)
    now = day(ada)
    assert now.run("knots-take-1").starts == "2027-03-05T09:15"
    assert now.run("knots-take-1").stations == 2
    dry, close = now.run("dry-run"), now.run("close-ups")
    assert (dry.starts, dry.kind, dry.dry) == ("2027-03-03T18:00", "rehearsal", True)
    assert (close.starts, close.beats) == ("2027-03-05T11:30", ("tie", "reveal"))
    assert close.starts_at_first_beat
    assert [(each.name, each.avoids) for each in close.people] == [("Ines", ("milk",)), ("Ben", ())]
    assert ada.post("undo")[0] == 200
    assert day(ada) == before


def test_what_is_not_understood_of_a_pasted_run_is_kept(ada: Editing) -> None:
    """Each text stands in its cell with what is wrong; the run is there all the same."""
    rows = [
        new(
            "runs",
            {"production_id": ada.production},
            name="Odd",
            date="soon",
            hour="late",
            demonstration="Bread",
            kind="party",
            stations="many",
        )
    ]
    pasted(ada, "rundown/table", {}, rows)
    assert day(ada).run("odd").starts == "2027-03-04T16:30"
    page = ada.client.get(f"/productions/{ada.production}/rundown/table").text
    for text in ("soon", "late", "many"):
        assert f'value="{text}"' in page
    for text in ("Bread", "party"):
        assert f"<option selected>{text}</option>" in page
    assert "There is no “Bread” here" in page
    assert "A whole number from 1" in page


def test_rows_inside_a_row_are_pasted(ada: Editing) -> None:
    """Tests needs over and beyond those of a beat, and inputs of a stage."""
    beat = ada.id("beats", "tie")
    need = ada.rows().below("beats", beat, "needs")[0]["id"]
    cells = {
        f"needs/{need} count": "2",
        f"needs/{need} stage": "tied",
        f"needs/{need} backups": "1",
    }
    rows = [new("needs", {"beat_id": beat}, count="3", stage="baked", untouched="x", tasting="no")]
    pasted(ada, KNOTS, cells, rows)
    needs = day(ada).demonstration("knots").beat("tie").needs
    assert [(each.count, each.stage, each.backups) for each in needs] == [
        (2, "tied", 1),
        (3, "baked", 0),
    ]
    assert needs[1].untouched


def test_a_kitchen_is_pasted(ada: Editing) -> None:
    """Tests equipment, crew with what is not understood, shelves, shifts and stock."""
    kitchen, crew = ada.rows().kitchen["id"], ada.id("cooks", "cook-1")
    shift = ada.rows().below("cooks", crew, "shifts")[0]["id"]
    below = {"kitchen_id": kitchen}
    rows = [
        new("equipment", below, name="Big oven", kind="oven", units="2", change_min="a while"),
        new("cooks", below, name="Ines", skills="pastry\nsugar"),
        new("shelves", below, name="Rack 9", zone="chill", levels="3 levels of 4"),
        new(
            "shifts",
            {"cook_id": crew, "production_id": ada.production},
            starts="Fri 5 March, 6:00",
            ends="14:30",
        ),
        new("stock", {"production_id": ada.production}, count="4", taken="baked of Cardamom knots"),
    ]
    cells = {f"shifts/{shift} starts": "Thu 4 March, 6:30", f"shifts/{shift} ends": "15:00"}
    pasted(ada, "kitchen", cells, rows)
    now = day(ada)
    (cook,) = (each for each in now.kitchen.crew if each.id == "cook-1")
    assert cook.shifts == (
        ("2027-03-04T06:30", "2027-03-04T15:00"),
        ("2027-03-05T06:00", "2027-03-05T14:30"),
    )
    assert [each.skills for each in now.kitchen.crew if each.id == "ines"] == [("pastry", "sugar")]
    assert [each.levels for each in now.kitchen.shelves if each.id == "rack-9"] == [(4, 4, 4)]
    assert [(each.stage, each.count) for each in now.stock] == [("baked", 4)]
    page = ada.client.get(f"/productions/{ada.production}/kitchen").text
    assert 'value="a while"' in page


def test_what_a_stage_is_made_from_is_pasted(ada: Editing) -> None:
    """Tests inputs over one and beyond it, of a way's own too; what is not understood stays."""
    stage = ada.id("stages", "baked")
    entry = ada.rows().below("stages", stage, "inputs")[0]["id"]
    cells = {f"inputs/{entry} count": "3", f"inputs/{entry} taken": "Rested"}
    below = {"stage_id": stage}
    rows = [
        new("inputs", below, count="2", taken="mixed"),
        new("inputs", below, count="lots", taken="marzipan"),
    ]
    before = day(ada)
    pasted(ada, KNOTS, cells, rows)
    takes = day(ada).stage("knots", "baked").takes
    assert [(each.count, each.stage) for each in takes[:2]] == [(3, "rested"), (2, "mixed")]
    assert len(takes) == 3
    page = ada.client.get(f"/productions/{ada.production}/{KNOTS}").text
    assert 'value="lots"' in page
    assert "<option selected>marzipan</option>" in page
    assert "There is no “marzipan” here" in page
    assert ada.post("undo")[0] == 200
    assert day(ada) == before


def test_what_a_beat_leaves_is_pasted(ada: Editing) -> None:
    """Tests leavings over one and beyond it, and a stage that this demonstration lacks."""
    beat = ada.id("beats", "tie")
    left = ada.rows().below("beats", beat, "leavings")[0]["id"]
    cells = {f"leavings/{left} count": "10", f"leavings/{left} stage": "tied"}
    below = {"beat_id": beat}
    rows = [new("leavings", below, count="2", stage="rested"), new("leavings", below, stage="jam")]
    pasted(ada, KNOTS, cells, rows)
    leaves = day(ada).demonstration("knots").beat("tie").leaves
    assert [(each.count, each.stage) for each in leaves[:2]] == [(10, "tied"), (2, "rested")]
    page = ada.client.get(f"/productions/{ada.production}/{KNOTS}").text
    assert "There is no “jam” here" in page


def test_closed_spans_are_pasted(ada: Editing) -> None:
    """Tests spans beyond those of an oven and then over them, an end without a date, a bad one."""
    oven = ada.id("equipment", "deck-oven")
    below = {"equipment_id": oven, "production_id": ada.production}
    rows = [
        new("closures", below, starts="Thu 4 March, 7:00", ends="9.30"),
        new("closures", below, starts="Fri 5 March, 22:00", ends="Sat 6 March, 6 am"),
    ]
    pasted(ada, "kitchen", {}, rows)
    closed = next(each for each in day(ada).kitchen.equipment if each.id == "deck-oven").closed
    assert closed == (
        ("2027-03-04T07:00", "2027-03-04T09:30"),
        ("2027-03-05T22:00", "2027-03-06T06:00"),
    )
    first, second = (row["id"] for row in ada.rows().below("equipment", oven, "closures"))
    cells = {
        f"closures/{first} starts": "Thu 4 March, 8:00",
        f"closures/{first} ends": "2027-03-04 10:00",
        f"closures/{second} starts": "some time",
    }
    pasted(ada, "kitchen", cells)
    closed = next(each for each in day(ada).kitchen.equipment if each.id == "deck-oven").closed
    assert closed[0] == ("2027-03-04T08:00", "2027-03-04T10:00")
    assert closed[1][0] == "2027-03-05T22:00"
    page = ada.client.get(f"/productions/{ada.production}/kitchen").text
    assert 'value="some time"' in page


def test_ingredients_are_pasted(ada: Editing) -> None:
    """Tests amounts with units, fractions, allergens, where it is for; into a stage and a beat."""
    stage, beat = ada.id("stages", "scaled"), ada.id("beats", "reveal")
    rows = [
        new(
            "ingredients",
            {"stage_id": stage},
            much="1 ½ cups",
            name="flour",
            per="a copy",
            contains="wheat; gluten",
            note="sifted",
        ),
        new("ingredients", {"stage_id": stage}, much="", name="salt", per="a batch"),
        new("ingredients", {"stage_id": stage}, much="some g", name="butter", per="each"),
        new("ingredients", {"beat_id": beat}, much="20 g", name="pearl sugar"),
    ]
    pasted(ada, KNOTS, {}, rows)
    flour, salt, butter = day(ada).stage("knots", "scaled").ingredients
    assert (flour.amount, flour.unit, flour.per, flour.note) == (1.5, "cups", "copy", "sifted")
    assert flour.contains == ("wheat", "gluten")
    assert (salt.amount, salt.per) == (None, "batch")
    page = ada.client.get(f"/productions/{ada.production}/{KNOTS}").text
    assert 'value="some g"' in page
    assert "<option selected>each</option>" in page
    (sugar,) = day(ada).demonstration("knots").beat("reveal").ingredients
    assert (sugar.amount, sugar.unit, sugar.name) == (20, "g", "pearl sugar")
    row = ada.rows().below("stages", stage, "ingredients")[2]["id"]
    cells = {f"ingredients/{row} much": "250 g", f"ingredients/{row} per": "a set"}
    pasted(ada, KNOTS, cells)
    butter = day(ada).stage("knots", "scaled").ingredients[2]
    assert (butter.amount, butter.unit, butter.per) == (250, "g", "set")


def test_an_empty_cell_over_a_field_that_needs_something_says_nothing(ada: Editing) -> None:
    """As behind a merged cell; a field that may be empty is emptied."""
    tied, baked = (f"stages/{ada.id('stages', key)}" for key in ("tied", "baked"))
    pasted(ada, KNOTS, {f"{baked} loss": "10 %"})
    before = day(ada).demonstration("knots").stage("baked")
    cells = {f"{tied} keeps_min": "1,5 h", f"{baked} keeps_min": "", f"{baked} cost": " "}
    pasted(ada, KNOTS, cells | {f"{baked} loss": ""})
    now = day(ada).demonstration("knots")
    assert now.stage("tied").keeps_min == 90
    assert now.stage("baked") == before.model_copy(update={"loss": 0.0})
    assert "keeps_min" not in ada.rows().typed.get(baked, {}), "nothing is told to be wrong"


def test_a_row_pasted_from_its_middle_on_is_not_called_by_a_time(ada: Editing) -> None:
    """What goes beyond the table begins where the block began; a name is only what is one."""
    below = {"demonstration_id": ada.id("demonstrations", "knots")}
    pasted(ada, KNOTS, {}, [new("stages", below, keeps_min="2,5 h", room="6 to a slot")])
    stage = day(ada).demonstration("knots").stages[-1]
    assert (stage.name, stage.keeps_min, stage.copies_per_slot) == (None, 150, 6)
