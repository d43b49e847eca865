"""Fields and rows are changed, merged, taken back and made again."""

import pytest

from app.planning.day import Day, Need, Phase, Stage
from app.storage.changes.fields import Filled, fill_in, paste
from app.storage.changes.structure import Added, add_part, delete_part, duplicate_part, move_part
from app.storage.changes.undo import REACH, make_again, steps, take_back
from app.storage.engine import reading, writing
from app.storage.parts import Place
from app.storage.queries.history import history
from app.storage.queries.sheets import Sheet, sheet
from app.storage.refusals import Conflict, NotThere, Refusal
from app.storage.translate import day_of

KEEPS = "keeps_min"


def look(production: int) -> Sheet:
    """Return the rows of a production."""
    with reading() as connection:
        return sheet(connection, production)


def day(production: int) -> Day:
    """Return the day of a production."""
    with reading() as connection:
        return day_of(connection, production)


def place(production: int, table: str, key: str) -> Place:
    """Return the place of the row with an id of the day."""
    (found,) = (row for row in look(production).all(table) if row["key"] == key)
    return Place(table, found["id"])


def fill(production: int, where: Place, value: int, began: int, **more: str) -> None:
    """Fill in how long a stage keeps."""
    by, once = more.get("by", "Ada"), more.get("once", f"{where}-{value}-{began}-{more}")
    texts = more.get("typed"), {KEEPS: began}, more.get("began_typed")
    filled = Filled(where, KEEPS, {KEEPS: value}, *texts)
    with writing() as connection:
        fill_in(connection, production, filled, words=f"filled in {value}", by=by, once=once)


def keeps(production: int, stage: str = "rested") -> int:
    """Return how long a stage keeps."""
    return day(production).stage("knots", stage).keeps_min


def delete(production: int, where: Place, seen_n: int | None = None, once: str = "delete") -> None:
    """Delete a row."""
    n = look(production).n if seen_n is None else seen_n
    with writing() as connection:
        delete_part(
            connection, production, where, seen_n=n, words="deleted it", by="Ada", once=once
        )


def back(production: int, by: str = "Ada", n: int | None = None) -> None:
    """Take the last change of a person back, or change `n`."""
    with writing() as connection:
        wanted = steps(connection, production, by).back[0].n if n is None else n
        last = history(connection, production, most=1)[0].n
        take_back(connection, production, wanted, by=by, once=f"back-{last}-{wanted}")


def again(production: int, by: str = "Ada") -> None:
    """Make again what a person took back last."""
    with writing() as connection:
        wanted = steps(connection, production, by).again[0].n
        last = history(connection, production, most=1)[0].n
        make_again(connection, production, wanted, by=by, once=f"again-{last}-{wanted}")


def test_a_field_is_filled_in_and_told(knots: int) -> None:
    """Tests the value, what was typed beside it, and the record."""
    where = place(knots, "stages", "rested")
    fill(knots, where, 80, 120, typed="1 h 20")
    assert keeps(knots) == 80
    found = look(knots)
    assert found.typed == {str(where): {KEEPS: "1 h 20"}}
    with reading() as connection:
        newest = history(connection, knots)[0]
    assert (newest.by, newest.words) == ("Ada", "Ada filled in 80.")
    assert newest.before[str(where)] == {KEEPS: 120}


def test_a_double_tap_changes_once(knots: int) -> None:
    """Tests that the second sending of one form answers with the first outcome."""
    where = place(knots, "stages", "rested")
    fill(knots, where, 80, 120, once="tap")
    fill(knots, where, 80, 120, once="tap")
    assert look(knots).n == 2


def test_two_people_fill_in_different_fields(knots: int) -> None:
    """Tests that both hold, though each form began before the other was sent."""
    fill(knots, place(knots, "stages", "rested"), 80, 120, by="Ada")
    fill(knots, place(knots, "stages", "tied"), 40, 30, by="Ben")
    assert (keeps(knots), keeps(knots, "tied")) == (80, 40)


def test_two_people_change_the_same_length(knots: int) -> None:
    """Tests that the second is told both values and nothing is overwritten."""
    where = place(knots, "stages", "rested")
    fill(knots, where, 40, 120, by="Ada")
    with pytest.raises(Conflict, match="Ada changed this while you were typing") as told:
        fill(knots, where, 45, 120, by="Ben")
    assert told.value.theirs == {"values": {KEEPS: 40}, "typed": None}
    assert keeps(knots) == 40
    fill(knots, where, 45, 40, by="Ben")
    assert keeps(knots) == 45


def test_two_people_who_want_the_same_do_not_clash(knots: int) -> None:
    """Tests that a value that is there already asks nobody."""
    where = place(knots, "stages", "rested")
    fill(knots, where, 40, 120, by="Ada")
    fill(knots, where, 40, 120, by="Ben")
    assert look(knots).n == 2


def test_what_is_not_understood_stands_beside_the_last_value(knots: int) -> None:
    """Tests that the text is kept, the value stays, and a second person is asked."""
    where = place(knots, "stages", "rested")
    with writing() as connection:
        filled = Filled(where, KEEPS, {}, "a whlie", {KEEPS: 120})
        fill_in(connection, knots, filled, words="typed a whlie", by="Ada", once="1")
    assert keeps(knots) == 120
    assert look(knots).typed[str(where)] == {KEEPS: "a whlie"}
    with pytest.raises(Conflict):
        fill(knots, where, 45, 120, by="Ben")
    back(knots)
    assert look(knots).typed == {}


def test_taking_back_and_making_again_go_step_by_step(knots: int) -> None:
    """Tests two changes back, both again, and that a new change ends what can be made again."""
    where = place(knots, "stages", "rested")
    fill(knots, where, 80, 120, typed="1 h 20")
    fill(knots, where, 90, 80, began_typed="1 h 20")
    back(knots)
    assert keeps(knots) == 80
    back(knots)
    assert keeps(knots) == 120
    assert look(knots).typed == {}
    again(knots)
    assert look(knots).typed[str(where)] == {KEEPS: "1 h 20"}
    again(knots)
    assert keeps(knots) == 90
    back(knots)
    fill(knots, where, 70, 80, began_typed="1 h 20", once="new")
    with reading() as connection:
        assert steps(connection, knots, "Ada").again == ()


def test_a_person_takes_back_their_own_changes(knots: int) -> None:
    """Tests that the last change of somebody else stays, and is not overwritten by an undo."""
    where = place(knots, "stages", "rested")
    fill(knots, where, 80, 120, by="Ada")
    fill(knots, where, 90, 80, by="Ben")
    with pytest.raises(Conflict, match="Ben filled in 90"):
        back(knots, "Ada")
    assert keeps(knots) == 90
    back(knots, "Ben")
    back(knots, "Ada")
    assert keeps(knots) == 120


def test_only_the_last_hundred_changes_are_in_reach(knots: int) -> None:
    """Tests the limit and its sentence."""
    where = place(knots, "stages", "rested")
    for step in range(REACH + 1):
        fill(knots, where, 121 + step, 120 + step)
    with pytest.raises(NotThere, match="last 100"):
        back(knots, n=2)
    for _ in range(REACH):
        back(knots)
    assert keeps(knots) == 121
    with reading() as connection:
        assert steps(connection, knots, "Ada").back == ()
    for _ in range(REACH):
        again(knots)
    assert keeps(knots) == 120 + REACH + 1


def test_a_deleted_stage_takes_along_what_names_it_and_all_comes_back(knots: int) -> None:
    """Tests ways, phases, inputs, needs, leavings and the typed texts, with one undo."""
    where = place(knots, "stages", "rested")
    fill(knots, where, 80, 120, typed="1 h 20")
    before, texts = day(knots), look(knots).typed
    delete(knots, where)
    left = day(knots).demonstration("knots")
    assert "rested" not in {stage.id for stage in left.stages}
    assert left.stage("tied").takes == ()
    assert left.beat("tie").needs == ()
    assert look(knots).typed == {}
    back(knots)
    assert (day(knots), look(knots).typed) == (before, texts)


def test_a_deleted_demonstration_takes_its_runs_along(knots: int) -> None:
    """Tests that no run is left without a demonstration, and that one undo brings all back."""
    before = day(knots)
    delete(knots, place(knots, "demonstrations", "knots"))
    assert (day(knots).demonstrations, day(knots).runs) == ((), ())
    back(knots)
    assert day(knots) == before


def test_what_somebody_changed_unseen_is_not_deleted_without_asking(knots: int) -> None:
    """Tests that a delete from an older page is told what it would lose."""
    where, seen = place(knots, "stages", "rested"), look(knots).n
    fill(knots, where, 80, 120, by="Ben")
    with pytest.raises(Conflict, match="Ben filled in 80") as told:
        delete(knots, where, seen)
    assert isinstance(told.value.theirs, int)
    delete(knots, where, told.value.theirs, once="all the same")
    assert "rested" not in {each.id for each in day(knots).demonstration("knots").stages}


def test_who_types_into_a_deleted_row_is_told(knots: int) -> None:
    """Tests that the number of a deleted row is not given to another."""
    where = place(knots, "beats", "reveal")
    delete(knots, where)
    below = {"demonstration_id": place(knots, "demonstrations", "knots").id}
    with writing() as connection:
        added = Added("stages", Stage(id="rested", keeps_min=5), below)
        add_part(connection, knots, added, words="added it", by="Ada", once="add")
        filled = Filled(where, "note", {"note": "x"}, None, {"note": ""})
        with pytest.raises(NotThere, match="deleted meanwhile"):
            fill_in(connection, knots, filled, words="x", by="Ada", once="x")
    assert "rested-2" in {stage.id for stage in day(knots).demonstration("knots").stages}
    back(knots)
    back(knots)
    assert [beat.id for beat in day(knots).demonstration("knots").beats][-1] == "reveal"


def test_a_duplicate_holds_all_below_and_stands_after_the_first(knots: int) -> None:
    """Tests ids, order, and that the copy can be taken back."""
    before = day(knots)
    with writing() as connection:
        where = place(knots, "stages", "baked")
        change = duplicate_part(connection, knots, where, words="doubled", by="Ada", once="1")
    stages = day(knots).demonstration("knots").stages
    assert [stage.id for stage in stages[-2:]] == ["baked", "baked-2"]
    assert stages[-1].ways == stages[-2].ways
    assert stages[-1].called == "baked 2"
    assert Place.read(change.outcome["place"]) == place(knots, "stages", "baked-2")
    back(knots)
    assert day(knots) == before


def test_a_demonstration_is_duplicated_whole(knots: int) -> None:
    """Tests that its stages and beats come along, and that its runs do not."""
    with writing() as connection:
        where = place(knots, "demonstrations", "knots")
        duplicate_part(connection, knots, where, words="doubled", by="Ada", once="1")
    first, second = day(knots).demonstrations
    assert (first.stages, first.beats) == (second.stages, second.beats)
    assert (second.id, second.title) == ("knots-2", f"{first.title} 2")
    assert {run.demonstration for run in day(knots).runs} == {"knots"}


def test_a_row_moves_among_its_like(knots: int) -> None:
    """Tests the new order, the same place again, and the undo."""
    where = place(knots, "beats", "reveal")
    with writing() as connection:
        move_part(connection, knots, where, 0, words="moved it", by="Ada", once="1")
        assert move_part(connection, knots, where, 0, words="", by="Ada", once="2") is None
    order = [beat.id for beat in day(knots).demonstration("knots").beats]
    assert order == ["reveal", "mix", "tie"]
    back(knots)
    assert [beat.id for beat in day(knots).demonstration("knots").beats][-1] == "reveal"


def test_a_move_and_a_change_by_two_people_merge(knots: int) -> None:
    """Tests that a place is the same row wherever it stands."""
    where = place(knots, "stages", "rested")
    with writing() as connection:
        move_part(connection, knots, where, 0, words="moved it", by="Ben", once="1")
    fill(knots, where, 80, 120, by="Ada")
    assert day(knots).demonstration("knots").stages[0].keeps_min == 80


def test_a_block_is_pasted_as_one_change(knots: int) -> None:
    """Tests fields and a row below them, all or nothing, and one undo."""
    before, rested = day(knots), place(knots, "stages", "rested")
    way = look(knots).below("stages", rested.id, "ways")[0]["id"]
    filled = Filled(rested, KEEPS, {KEEPS: 80}, None, {KEEPS: 120})
    added = Added("phases", Phase(lasts_min=5, does="turn"), {"way_id": way})
    with writing() as connection:
        paste(connection, knots, [filled], [added], words="pasted", by="Ada", once="1")
    assert day(knots).stage("knots", "rested").ways[0].phases[-1].does == "turn"
    back(knots)
    assert day(knots) == before
    late = filled._replace(values={KEEPS: 90}, began={KEEPS: 80})
    with writing() as connection, pytest.raises(Conflict):
        paste(connection, knots, [late], [added], words="pasted", by="Ada", once="2")
    assert day(knots) == before


def test_what_the_tables_forbid_is_a_sentence(knots: int) -> None:
    """Tests a need of a stage that the beat needs already."""
    beat = place(knots, "beats", "reveal")
    added = Added("needs", Need(stage="baked"), {"beat_id": beat.id})
    with pytest.raises(Refusal, match="nothing was changed"), writing() as connection:
        add_part(connection, knots, added, words="added", by="Ada", once="1")


def test_a_part_of_another_production_is_not_there(knots: int, knots_day: Day) -> None:
    """Tests that a form can't reach into another production."""
    from app.storage.changes.productions import add_production

    with writing() as connection:
        other = add_production(connection, knots_day, by="Ada", once="other")
    with pytest.raises(NotThere):
        fill(other, place(knots, "stages", "rested"), 80, 120)
