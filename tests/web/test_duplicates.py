"""Every row is moved, duplicated and deleted alike, whether it is a line inside a cell or a row."""

import json

import pytest

from tests.web.editing import Editing, day

SHIFT, NIGHT = "2027-03-04 07:00", "2027-03-04 22:00"


def again(editing: Editing, place: str) -> str:
    """Duplicate a row and return the place of the copy."""
    status, said = editing.post("duplicate", place=place)
    assert status == 200, said
    return str(said["place"])


def test_a_need_is_duplicated_with_a_stage_of_its_own(ada: Editing) -> None:
    """The count and the backups are the same; moved up and taken back, all is as it was."""
    beat = ada.id("beats", "reveal")
    (need,) = ada.rows().below("beats", beat, "needs")
    copy = again(ada, f"needs/{need['id']}")
    needs = day(ada).demonstration("knots").beat("reveal").needs
    assert [(each.stage, each.count, each.backups) for each in needs] == [
        ("baked", 6, 6),
        ("tied", 6, 6),
    ]
    assert ada.post("move", place=copy, by=-1)[0] == 200
    needs = day(ada).demonstration("knots").beat("reveal").needs
    assert [each.stage for each in needs] == ["tied", "baked"]
    for _ in range(2):
        assert ada.post("undo")[0] == 200
    needs = day(ada).demonstration("knots").beat("reveal").needs
    assert [each.stage for each in needs] == ["baked"]


def test_inputs_leavings_and_equipment_are_duplicated_and_moved(ada: Editing) -> None:
    """None of them names the same twice: a stage, or a kind of equipment."""
    rows = ada.rows()
    owners = {
        "inputs": ("stages", ada.id("stages", "baked"), "stage"),
        "leavings": ("beats", ada.id("beats", "tie"), "stage"),
        "phase_equipment": ("phases", _phase(ada, "mixer"), "kind"),
    }
    for table, (above, owner, named) in owners.items():
        (first,) = rows.below(above, owner, table)
        copy = again(ada, f"{table}/{first['id']}")
        assert ada.post("move", place=copy, onto=f"{table}/{first['id']}", by=0)[0] == 200
        now = ada.rows().below(above, owner, table)
        assert [f"{table}/{each['id']}" for each in now] == [copy, f"{table}/{first['id']}"]
        assert now[0][named] != now[1][named], table


def _phase(editing: Editing, kind: str) -> int:
    rows = editing.rows()
    return int(next(row for row in rows.all("phase_equipment") if row["kind"] == kind)["phase_id"])


def test_a_step_holds_a_second_piece_of_another_kind(ada: Editing) -> None:
    """What is added is of a kind that the step does not hold, as often as there is one."""
    below = json.dumps({"phase_id": _phase(ada, "mixer")})
    for _ in range(3):
        assert ada.post("add", table="phase_equipment", below=below)[0] == 200
    held = ada.rows().below("phases", _phase(ada, "mixer"), "phase_equipment")
    assert len({row["kind"] for row in held}) == 4


def test_where_no_stage_is_left_a_duplicate_is_refused_with_a_sentence(ada: Editing) -> None:
    """A beat that names every stage can't name one more."""
    beat = ada.id("beats", "reveal")
    place = f"needs/{ada.rows().below('beats', beat, 'needs')[0]['id']}"
    stages = day(ada).demonstration("knots").stages
    for _ in stages[1:]:
        again(ada, place)
    status, said = ada.post("duplicate", place=place)
    assert status == 422
    assert "No stage is left" in said["error"]
    assert len(ada.rows().below("beats", beat, "needs")) == len(stages)


@pytest.mark.parametrize(
    ("starts", "ends", "on"),
    [
        (SHIFT, "2027-03-04 15:00", ("2027-03-05T07:00", "2027-03-05T15:00")),
        (NIGHT, "2027-03-05 06:00", ("2027-03-05T22:00", "2027-03-06T06:00")),
    ],
)
def test_a_shift_is_duplicated_on_the_next_day_that_has_none(
    ada: Editing, starts: str, ends: str, on: tuple[str, str]
) -> None:
    """At its own hours, also where it ends on the day after; a third is a day later still."""
    shift = ada.rows().all("shifts")[0]
    place = f"shifts/{shift['id']}"
    for field, text in (("starts", starts), ("ends", ends)):
        column = json.dumps([{field: shift[field]}, None])
        sent = {"place": place, "field": field, "text": text, "began": column}
        assert ada.post("fill", **sent)[0] == 200
    again(ada, place)
    again(ada, place)
    spans = sorted((row["starts"], row["ends"]) for row in ada.rows().all("shifts"))
    assert spans[1] == on
    assert spans[2][0][:10] == "2027-03-06"
    page = ada.client.get(f"/productions/{ada.production}/kitchen").text
    assert "within another shift" not in page


def test_what_was_not_understood_of_a_stage_is_not_said_of_its_duplicate(ada: Editing) -> None:
    """The field that a duplicate has otherwise forgets what was typed; its other fields keep it."""
    beat = ada.id("beats", "reveal")
    place = f"needs/{ada.rows().below('beats', beat, 'needs')[0]['id']}"
    ada.fill(place, "stage", "brioche", "baked")
    ada.fill(place, "count", "half a dozen", 6)
    copy = again(ada, place)
    typed = ada.rows().typed
    assert typed[place] == {"stage": "brioche", "count": "half a dozen"}
    assert typed[copy] == {"count": "half a dozen"}


def test_whatever_is_duplicated_again_has_a_name_of_its_own(ada: Editing) -> None:
    """Tests an item twice and its copy once, and a demonstration: a board tells them apart."""
    oven = f"equipment/{ada.id('equipment', 'deck-oven')}"
    copies = [again(ada, oven), again(ada, oven)]
    again(ada, copies[0])
    called = sorted(each.called for each in day(ada).kitchen.equipment if "oven" in each.called)
    assert called == ["deck-oven", "deck-oven 2", "deck-oven 3", "deck-oven 4"]
    knots = f"demonstrations/{ada.id('demonstrations', 'knots')}"
    again(ada, knots)
    again(ada, knots)
    titles = sorted(each.title for each in day(ada).demonstrations)
    assert titles == ["Cardamom knots", "Cardamom knots 2", "Cardamom knots 3"]
