"""The kitchen is edited: equipment and when it is closed, crew and shifts, shelves, stock."""

import re

from fastapi.testclient import TestClient

from app.planning.day import Day
from tests.live import stored
from tests.web.editing import Editing, day


def add(ada: Editing, table: str, below: str, name: str = "") -> str:
    """Add a row; return its place."""
    status, said = ada.post("add", table=table, below=below, name=name)
    assert status == 200, said
    return str(said["place"])


def fill(ada: Editing, place: str, field: str, text: str):
    """Fill in a field from what the kitchen shows."""
    began = ada.page("kitchen")[f"{place} {field}"]
    status, said = ada.post("fill", place=place, field=field, text=text, began=began)
    assert status == 200
    return said


def test_an_oven_is_added_and_closed_for_a_day(ada: Editing) -> None:
    """One tap closes it from midnight to midnight; the span can be changed and taken back."""
    kitchen = ada.rows().kitchen["id"]
    oven = add(ada, "equipment", f'{{"kitchen_id": {kitchen}}}', "Big oven")
    for field, text in (("units", "4"), ("change_min", "15 min"), ("cold_after_min", "2 h")):
        assert fill(ada, oven, field, text)["fault"] == ""
    below = f'{{"equipment_id": {oven.partition("/")[2]}, "production_id": {ada.production}}}'
    span = add(ada, "closures", below, "2027-03-04")
    item = day(ada).kitchen.equipment[-1]
    assert (item.id, item.kind, item.units) == ("big-oven", "oven", 4)
    assert item.settings is not None
    assert (item.settings.change_min, item.settings.cold_after) == (15, 120)
    assert item.closed == (("2027-03-04T00:00", "2027-03-05T00:00"),)
    fill(ada, span, "ends", "12:30")
    fill(ada, span, "starts", "9:00")
    assert day(ada).kitchen.equipment[-1].closed == (("2027-03-04T09:00", "2027-03-04T12:30"),)
    ada.post("delete", place=span, seen=ada.rows().n)
    assert day(ada).kitchen.equipment[-1].closed == ()
    ada.post("undo")
    assert len(day(ada).kitchen.equipment[-1].closed) == 1
    told = ada.client.get(f"/productions/{ada.production}/history").text
    assert "added a closed span, Thu 4 March." in told


def test_a_person_has_shifts_over_several_days_and_skills(ada: Editing) -> None:
    """Where there is one day, a person works on it; a tap adds another, that may end next day."""
    kitchen = ada.rows().kitchen["id"]
    cook = add(ada, "cooks", f'{{"kitchen_id": {kitchen}}}', "Ines")
    fill(ada, cook, "skills", "pastry, sugar")
    below = f'{{"cook_id": {cook.partition("/")[2]}, "production_id": {ada.production}}}'
    late = add(ada, "shifts", below, "2027-03-05")
    fill(ada, late, "starts", "20:00")
    assert fill(ada, late, "ends", "02:00")["fault"] == ""
    ines = day(ada).kitchen.crew[-1]
    assert (ines.called, ines.skills) == ("Ines", ("pastry", "sugar"))
    assert ines.shifts == (
        ("2027-03-04T07:00", "2027-03-04T17:00"),
        ("2027-03-05T20:00", "2027-03-06T02:00"),
    )


def test_shifts_that_overlap_are_told_in_their_row(ada: Editing) -> None:
    """The rule of the day file, in the row of the shift; the rest is kept."""
    cook = ada.rows().all("cooks")[0]
    below = f'{{"cook_id": {cook["id"]}, "production_id": {ada.production}}}'
    add(ada, "shifts", below, "2027-03-04")
    page = ada.client.get(f"/productions/{ada.production}/kitchen").text
    assert "1 thing to mend" in page
    assert page.count("within another shift") >= 2


def test_a_shelf_is_drawn_as_its_levels_are_typed(ada: Editing) -> None:
    """From the top, or so many alike; what is no level is told."""
    shelf = f"shelves/{ada.id('shelves', 'rack-1')}"
    fill(ada, shelf, "levels", "6, 4, 2")
    page = ada.client.get(f"/productions/{ada.production}/kitchen").text
    assert "rack-1 from the front: 3 levels, from the top 6, 4, 2 slots" in page
    fill(ada, shelf, "levels", "3 levels of 5")
    assert day(ada).kitchen.shelves[0].levels == (5, 5, 5)
    for wrong in ("", "0", "4, none", "300"):
        assert fill(ada, shelf, "levels", wrong)["fault"]
    assert day(ada).kitchen.shelves[0].levels == (5, 5, 5)


def test_stock_is_typed(ada: Editing) -> None:
    """Copies, of which stage, staged when; two entries may be alike."""
    below = f'{{"production_id": {ada.production}}}'
    place = add(ada, "stock", below)
    add(ada, "stock", below)
    fill(ada, place, "count", "6 copies")
    fill(ada, place, "taken", "rested of Cardamom knots")
    fill(ada, place, "staged", "Wed 3 March, 20:00")
    first, second = day(ada).stock
    assert (first.demonstration, first.stage, first.count) == ("knots", "rested", 6)
    assert first.staged == "2027-03-03T20:00"
    assert first.id != second.id


def test_the_house_rules_are_fields(ada: Editing) -> None:
    """Each of them; a fault of one is told."""
    place = f"productions/{ada.production}"
    for field, text in (
        ("ready_margin_min", "20"),
        ("return_min", "8 min"),
        ("step_slack_min", "5"),
        ("confidence", "99 %"),
        ("reuse", "no"),
        ("prefer", "fresher copies"),
        ("spread", "20 %"),
    ):
        assert fill(ada, place, field, text)["fault"] == "", field
    rules = day(ada).policy
    assert (rules.ready_margin_min, rules.return_min, rules.step_slack_min) == (20, 8, 5)
    assert (rules.confidence, rules.reuse, rules.prefer) == (0.99, False, "fresh")
    assert rules.spread == 0.2


def test_a_kitchen_that_two_productions_have(ada: Editing, client: TestClient) -> None:
    """Its equipment is both's, which is said; its closed spans are one's alone."""
    client.post(f"/productions/{ada.production}/copy", data={"title": "Next week", "once": "c"})
    oven = ada.rows().all("equipment")[0]
    assert "Also the kitchen of Next week" in client.get("/productions/1/kitchen").text
    below = f'{{"equipment_id": {oven["id"]}, "production_id": 1}}'
    add(ada, "closures", below, "2027-03-04")
    fill(ada, f"equipment/{oven['id']}", "units", "9")
    other = day(Editing(client, 2))
    assert other.kitchen.equipment[0].units == 9
    assert other.kitchen.equipment[0].closed == ()
    assert 'value="9"' in client.get("/productions/2/kitchen").text


def test_what_another_production_has_in_the_kitchen_is_asked_about(
    ada: Editing, client: TestClient
) -> None:
    """A person whose shifts are another's too is deleted only on purpose; all of it comes back."""
    client.post(f"/productions/{ada.production}/copy", data={"title": "Next week", "once": "c"})
    there = Editing(client, 2)
    place = f"cooks/{ada.id('cooks', 'cook-1')}"
    before = day(there).kitchen.crew
    status, said = ada.post("delete", place=place, seen=0)
    assert status == 409
    assert "also that of “Next week”, where a span of this would go along" in said["error"]
    assert day(there).kitchen.crew == before
    assert ada.post("delete", place=place, seen=said["seen"], sure="yes")[0] == 200
    assert day(there).kitchen.crew == before[1:]
    assert ada.post("undo")[0] == 200
    assert day(there).kitchen.crew == before


def test_a_person_who_is_duplicated_works_for_this_production_alone(
    ada: Editing, client: TestClient
) -> None:
    """The other production that has the kitchen gets a person, and nobody on shift."""
    client.post(f"/productions/{ada.production}/copy", data={"title": "Next week", "once": "c"})
    assert ada.post("duplicate", place=f"cooks/{ada.id('cooks', 'cook-1')}")[0] == 200
    mine, theirs = (day(each).kitchen.crew for each in (ada, Editing(client, 2)))
    assert mine[1].shifts == mine[0].shifts
    assert theirs[0].shifts
    assert theirs[1].shifts == ()


def test_what_an_earlier_production_leaves_over_is_taken_over(
    client: TestClient, production: int, knots_day: Day
) -> None:
    """Copies that nobody takes and that still keep, with one tap; what was on camera is not."""
    runs = tuple(
        run.model_copy(update={"starts": run.starts.replace("03-04", "03-06")})
        for run in knots_day.runs
    )
    update = {"prep_from": "2027-03-04T16:00", "runs": runs, "title": "Later"}
    later = stored(knots_day.model_copy(update=update), None)
    page = client.get(f"/productions/{later}/kitchen").text
    assert page.count("Take over") >= 1
    data = {"from": str(production), "demonstration": "knots", "stage": "nothing", "staged": "x"}
    assert client.post(f"/productions/{later}/stock/carry", data=data).status_code == 409
    found = re.search(r'name="stage" value="([^"]+)">.*?name="staged" value="([^"]+)"', page)
    assert found
    data |= {"stage": found[1], "staged": found[2]}
    client.post(f"/productions/{later}/stock/carry", data=data)
    (stock,) = day(Editing(client, later)).stock
    assert (stock.stage, stock.staged) == (found[1], found[2])
    assert stock.count >= 1


def test_a_kitchen_is_said_as_people_speak(ada: Editing) -> None:
    """What an item has with it is not its kind; hours are no skill; levels are shelves, too."""
    below = f'{{"kitchen_id": {ada.rows().kitchen["id"]}}}'
    for line in ("An oven with 2 racks", "Two mixers", "Glass jars", "2 deck ovens"):
        add(ada, "equipment", below, line)
    items = day(ada).kitchen.equipment[-4:]
    assert [(each.called, each.kind, each.units) for each in items] == [
        ("An oven with 2 racks", "oven", 1),
        ("Mixer", "mixer", 2),
        ("Glass jars", "jars", 1),
        ("2 deck ovens", "oven", 1),
    ]
    for line in ("Tomas, works until 18:00", "Ines, pastry, 8:30 to 14", "Ute, until late"):
        add(ada, "cooks", below, line)
    people = day(ada).kitchen.crew[-3:]
    on = "2027-03-04T"
    assert [each.shifts[0] for each in people[:2]] == [
        (f"{on}07:00", f"{on}18:00"),
        (f"{on}08:30", f"{on}14:00"),
    ]
    assert [each.skills for each in people] == [(), ("pastry",), ("until late",)]
    add(ada, "shelves", below, "Cold room, chill, 3 shelves of 6")
    shelf = day(ada).kitchen.shelves[-1]
    assert (shelf.called, shelf.levels) == ("Cold room", (6, 6, 6))


def test_what_is_no_kind_and_no_level_is_not_taken_for_one(ada: Editing) -> None:
    """The kind is told by what stands first; levels may be listed; all else is told."""
    below = f'{{"kitchen_id": {ada.rows().kitchen["id"]}}}'
    for line in ("oven, half sheet", "deck oven, 0 units", "Oven 2, closed Fri"):
        add(ada, "equipment", below, line)
    assert [each.kind for each in day(ada).kitchen.equipment[-3:]] == ["oven"] * 3
    for line in ("Rack, 4, 4, 2", "Tower, hot, 4 4 2", "Trolley, 2 x 6, 3"):
        add(ada, "shelves", below, line)
    shelves = day(ada).kitchen.shelves[-3:]
    assert [(each.called, each.levels) for each in shelves] == [
        ("Rack", (4, 4, 2)),
        ("Tower", (4, 4, 2)),
        ("Trolley", (6, 6, 3)),
    ]
    said = ada.post("add", table="cooks", below=below, name="Ute, until late")[1]
    assert said["heed"] == "Not understood, so it stands among the skills: “until late”."


def test_a_person_works_past_midnight_as_it_is_said(ada: Editing) -> None:
    """Hours that end before they begin end on the next day, in whatever way they are written."""
    below = f'{{"kitchen_id": {ada.rows().kitchen["id"]}}}'
    for hours in ("22:00 to 06:00", "from 22 until 2 am", "8:00-26:15", "20:00 to midnight"):
        add(ada, "cooks", below, f"Tomas, pastry, {hours}")
    people = day(ada).kitchen.crew[-4:]
    assert [each.shifts for each in people] == [
        (("2027-03-04T22:00", "2027-03-05T06:00"),),
        (("2027-03-04T22:00", "2027-03-05T02:00"),),
        (("2027-03-04T08:00", "2027-03-05T02:15"),),
        (("2027-03-04T20:00", "2027-03-05T00:00"),),
    ]
    assert {each.skills for each in people} == {("pastry",)}


def test_a_tap_gives_a_person_who_works_nights_another_night(ada: Editing) -> None:
    """Tests the hours of their last shift, and a night that the clocks cut short."""
    kitchen = ada.rows().kitchen["id"]
    cook = add(ada, "cooks", f'{{"kitchen_id": {kitchen}}}', "Tomas, 1:30 to 1:15")
    below = f'{{"cook_id": {cook.partition("/")[2]}, "production_id": {ada.production}}}'
    add(ada, "shifts", below, "2027-03-06")
    assert day(ada).kitchen.crew[-1].shifts[1] == ("2027-03-06T01:30", "2027-03-07T01:15")
    status, said = ada.post("add", table="shifts", below=below, name="2027-03-28")
    assert (status, "the clocks change" in said["error"]) == (422, True)


def test_an_item_is_closed_for_a_day_that_has_no_midnight(ada: Editing) -> None:
    """Where the clocks leave midnight out, the day begins an hour later."""
    place = f"productions/{ada.production}"
    assert ada.fill(place, "timezone", "America/Santiago", "Europe/Lisbon")[1]["fault"] == ""
    oven = ada.id("equipment", "deck-oven")
    below = f'{{"equipment_id": {oven}, "production_id": {ada.production}}}'
    for on in ("2027-09-04", "2027-09-05"):
        add(ada, "closures", below, on)
    item = next(each for each in day(ada).kitchen.equipment if each.id == "deck-oven")
    assert item.closed == (
        ("2027-09-04T00:00", "2027-09-05T01:00"),
        ("2027-09-05T01:00", "2027-09-06T00:00"),
    )


def test_a_day_within_a_longer_span_is_not_offered_again(ada: Editing) -> None:
    """Closed from Thursday to Saturday: Friday is, too, and Saturday may be closed for longer."""
    place = f"productions/{ada.production}"
    ada.fill(place, "prep_from", "Wed 3 March 7:00", "2027-03-04T07:00")
    take = f"runs/{ada.id('runs', 'knots-take-2')}"
    ada.fill(take, "date", "Sat 6 March", {"starts": "2027-03-04T15:30"})
    oven = ada.id("equipment", "deck-oven")
    below = f'{{"equipment_id": {oven}, "production_id": {ada.production}}}'
    span = add(ada, "closures", below, "2027-03-04")
    fill(ada, span, "ends", "Sat 6 March, 7:00")
    page = ada.client.get(f"/productions/{ada.production}/kitchen").text
    assert re.findall(r"deck-oven: closed (\w+ \d) March", page) == ["Wed 3", "Sat 6"]


def test_a_year_that_is_not_that_of_the_production_is_said(ada: Editing) -> None:
    """What is in stock since three years, or in three years, does not pass for today's."""
    place = add(ada, "stock", f'{{"production_id": {ada.production}}}')
    said = fill(ada, place, "staged", "2030-01-01 18:00")
    assert (said["text"], said["meant"]) == ("2030-01-01 18:00", "Tue 1 January 2030, 18:00")
    assert fill(ada, place, "staged", "Wed 3 March 2027, 18:00")["meant"] == "Wed 3 March, 18:00"
