"""A row is said in one line: what is understood of it, and that no word of it is lost."""

import json

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Demonstration, PhaseEquipment, Stage
from app.storage.engine import reading
from app.storage.translate import day_of
from app.web.fields.lines import beat_of, not_understood, stage_of, step_of, way_of
from tests.web.editing import Editing

KNOWN = {"weighed": "Weighed", "mixed": "Mixed"}
LIKE = Stage(id="stage", keeps_min=240)


@pytest.mark.parametrize(
    ("line", "does", "minutes", "hands", "use", "zone"),
    [
        ("knead, 12 min, 1 person, mixer", "knead", 12, 1, ("mixer", None), None),
        ("bake, 20 min, oven at 190 °C", "bake", 20, 0, ("oven", 190), None),
        ("bake, oven 375 F, 20 min", "bake", 20, 0, ("oven", 191), None),
        ("let rise 1 h 20", "let rise", 80, 0, None, None),
        ("cool for 2 hours, chill", "cool", 120, 0, None, "chill"),
        ("fold, wrap and label, 4 min, by hand", "fold, wrap and label", 4, 1, None, None),
        ("stir in the salamander", "stir in the salamander", 0, 0, None, None),
        ("toast, 3 min, salamander", "toast", 3, 0, ("salamander", None), None),
        ("fill layer 2", "fill layer 2", 0, 0, None, None),
        ("2. knead, 12 min", "knead", 12, 0, None, None),
        ("• knead for 12 min", "knead", 12, 0, None, None),
        ("20 min", "", 20, 0, None, None),
        ("", "", 0, 0, None, None),
    ],
)
def test_a_step_is_said_in_one_line(
    line: str,
    does: str,
    minutes: int,
    hands: int,
    use: tuple[str, int | None] | None,
    zone: str | None,
) -> None:
    """The salamander is a kind that this kitchen has; it is known only as a part of its own."""
    step = step_of(line, ["salamander"])
    wanted = (PhaseEquipment(kind=use[0], per_batch=1, setting=use[1]),) if use else ()
    assert (step.does, step.lasts_min, step.hands) == (does, minutes, hands)
    assert (step.equipment, step.zone) == (wanted, zone)


def test_more_for_each_copy_is_minutes_and_seconds() -> None:
    """Beside what the batch takes."""
    step = step_of("shape, 5 min, 1 min 30 each, 2 people", [])
    assert (step.lasts_min, step.per_copy_min, step.per_copy_s, step.hands) == (5, 1, 30, 2)


def test_a_way_begins_with_its_first_step_or_with_its_name_alone() -> None:
    """It is called by what it is done in, or by hand."""
    way = way_of("weigh, 10 min, 1 person, 6 at once", [])
    assert (way.called, way.batch_max, len(way.phases)) == ("hand", 6, 1)
    assert way_of("bake, 20 min, oven", []).called == "oven"
    assert way_of("let rise 60 min", []).called == "standing"
    named = way_of("deck oven", [])
    assert (named.called, named.phases) == ("deck oven", ())


def test_a_stage_is_made_from_the_one_above_unless_the_line_says_otherwise() -> None:
    """What the line does not say is as above."""
    mixed = stage_of("Mixed, keeps 20 min, chill", ["weighed"], KNOWN, LIKE)
    assert (mixed.called, mixed.keeps_min, mixed.zone) == ("Mixed", 20, "chill")
    assert [each.stage for each in mixed.takes] == ["weighed"]
    glazed = stage_of("Cut, glazed, from 2 weighed", ["weighed", "mixed"], KNOWN, LIKE)
    assert (glazed.called, glazed.keeps_min) == ("Cut, glazed", 240)
    assert [(each.stage, each.count) for each in glazed.takes] == [("weighed", 2)]
    assert stage_of("Weighed", [], KNOWN, LIKE).takes == ()


@pytest.mark.parametrize(
    ("line", "name", "keeps_min", "zone"),
    [
        ("dough, keeps two days in the fridge", "dough", 2880, "chill"),
        ("rolled out keeps 30 minutes", "rolled out", 30, "ambient"),
        ("ice cream keeps half an hour, in the freezer", "ice cream", 30, "frozen"),
        ("Kept in the fridge", "Kept in the fridge", 240, "ambient"),
        ("Mousse, 70% dark; set", "Mousse, 70% dark, set", 240, "ambient"),
        ("Kneaded and rested in two parts", "Kneaded and rested in two parts", 240, "ambient"),
    ],
)
def test_a_stage_is_said_as_people_speak(line: str, name: str, keeps_min: int, zone: str) -> None:
    """With or without a comma, in words or digits; what is not understood stays as it was."""
    stage = stage_of(line, [], KNOWN, LIKE)
    assert (stage.name, stage.keeps_min, stage.zone) == (name, keeps_min, zone)


def test_a_way_is_said_as_people_speak() -> None:
    """What follows a length is a part of its own, where it can be understood."""
    way = way_of("bake 40 min in the oven at 200 C, 4 at a time", [])
    (step,) = way.phases
    assert (way.batch_max, step.does, step.lasts_min) == (4, "bake", 40)
    assert (step.equipment[0].kind, step.equipment[0].setting) == ("oven", 200)
    (step,) = way_of("cook two hours on a low heat", []).phases
    assert (step.does, step.lasts_min) == ("cook on a low heat", 120)
    (step,) = way_of("rest in the fridge 30 min", []).phases
    assert (step.does, step.lasts_min) == ("rest in the fridge", 30)


def test_a_beat_is_said_as_people_speak() -> None:
    """A stage by its first word, if no other begins so; numbers as words; no commas."""
    known = {"rolled": "rolled out", "first": "dusted with sugar", "then": "dusted twice"}
    beat = beat_of("Fill needs two rolled and 1 backup leaves the rolled out", known, 0, 60)
    assert beat.called == "Fill"
    assert [(each.stage, each.count, each.backups) for each in beat.needs] == [("rolled", 2, 1)]
    assert [each.stage for each in beat.leaves] == ["rolled"]
    assert beat_of("Cut, uses dusted", known, 0, 60).called == "Cut, uses dusted"


def test_a_beat_says_what_it_needs_and_leaves() -> None:
    """A stage that is not there stays a part of the name."""
    beat = beat_of("Mix, 2 min, needs 2 weighed, 1 backup, leaves mixed", KNOWN, 30, 60)
    assert (beat.called, beat.starts_s, beat.lasts_s) == ("Mix", 30, 120)
    assert [(each.stage, each.count, each.backups) for each in beat.needs] == [("weighed", 2, 1)]
    assert [each.stage for each in beat.leaves] == ["mixed"]
    assert beat_of("Talk, needs nothing", KNOWN, 0, 60).called == "Talk, needs nothing"


@pytest.mark.parametrize(
    ("line", "left"),
    [("Mix, needs flour, 2 min", "“needs flour”"), ("Mix, gently", ""), ("Mix, 2 mni", "“2 mni”")],
)
def test_what_no_part_understands_is_told(line: str, left: str) -> None:
    """It stands in the name, and somebody hears of it."""
    beat = beat_of(line, KNOWN, 0, 60)
    assert left in not_understood(beat)
    assert bool(left) == bool(not_understood(beat))


def test_lines_build_a_demonstration_and_each_is_taken_back_whole(
    client: TestClient, production: int
) -> None:
    """Tests what is stored below a row that was said in a line, and one undo a line."""
    answer = client.post(f"/productions/{production}/demonstrations", data={"name": "Plum buns"})
    assert answer.url.path.endswith("/demonstrations/plum-buns")
    ada = Editing(client, production)
    home = ada.id("demonstrations", "plum-buns")

    def add(table: str, column: str, above: int, line: str) -> None:
        status, said = ada.post("add", table=table, below=f'{{"{column}": {above}}}', name=line)
        assert status == 200, said

    def shown() -> Demonstration:
        with reading() as conn:
            return day_of(conn, production).demonstration("plum-buns")

    for line in ("Weighed, keeps 1 day", "Mixed, keeps 20 min"):
        add("stages", "demonstration_id", home, line)
    add(
        "ways",
        "stage_id",
        max(row["id"] for row in ada.rows().all("stages")),
        "knead, 12 min, 1 person, mixer",
    )
    add("beats", "demonstration_id", home, "Mix, 2 min, needs weighed, leaves mixed")
    mixed = shown().stage("mixed")
    assert [each.stage for each in mixed.takes] == ["weighed"]
    assert mixed.ways[0].phases[0].equipment[0].kind == "mixer"
    assert shown().beat("mix").needs[0].stage == "weighed"
    for _ in range(2):
        assert ada.post("undo")[0] == 200
    assert (shown().beats, shown().stage("mixed").ways) == ((), ())
    assert len(shown().stages) == 2


def test_needs_and_leavings_follow_the_order_of_the_stages(
    client: TestClient, production: int
) -> None:
    """A new beat needs what comes after all that beats spoke of, and leaves what follows that."""
    ada = Editing(client, production)
    home = ada.id("demonstrations", "knots")
    for line in ("Glazed", "Boxed"):
        ada.post("add", table="stages", below=f'{{"demonstration_id": {home}}}', name=line)
    ada.post("add", table="beats", below=f'{{"demonstration_id": {home}}}', name="Glaze")
    beat = f'{{"beat_id": {ada.id("beats", "glaze")}}}'
    ada.post("add", table="needs", below=beat)
    ada.post("add", table="leavings", below=beat)
    with reading() as conn:
        glaze = day_of(conn, production).demonstration("knots").beat("glaze")
    assert ([each.stage for each in glaze.needs], [each.stage for each in glaze.leaves]) == (
        ["glazed"],
        ["boxed"],
    )


def test_a_pasted_list_of_stages_is_a_chain(client: TestClient, production: int) -> None:
    """Each is made from the one above it, the first from the last that was there."""
    ada = Editing(client, production)
    below = json.dumps({"demonstration_id": ada.id("demonstrations", "knots")})
    names = ("Glazed, keeps 4 h", "Sliced", "Boxed, from baked")
    rows = [{"table": "stages", "below": below, "name": name, "texts": {}} for name in names]
    assert ada.post("paste", block=json.dumps({"cells": [], "rows": rows}))[0] == 200
    with reading() as conn:
        shown = day_of(conn, production).demonstration("knots")
    chain = [(each.called, [entry.stage for entry in each.takes]) for each in shown.stages[-3:]]
    assert chain == [("Glazed", ["baked"]), ("Sliced", ["glazed"]), ("Boxed", ["baked"])]


@pytest.mark.parametrize("line", ["Buns keep 6 h", "- Buns, keeps 6 h", "3) Buns keep for 6 hours"])
def test_a_line_from_a_list_is_read_without_its_number(line: str) -> None:
    """Whether it is one that keeps or several that keep."""
    stage = stage_of(line, [], {}, LIKE)
    assert (stage.name, stage.keeps_min) == ("Buns", 360)
