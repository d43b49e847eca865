"""What a remedy changes is stored, whatever part of the day it is about, and can be taken back."""

import pytest

from app.planning.canonical import document
from app.planning.day import Day
from app.planning.reading import read_day
from app.planning.remedies.patch import Operation, added, patched, removed, replaced
from app.storage.changes.record import Change
from app.storage.changes.remedied import TOO_MUCH, take_up_remedy
from app.storage.changes.runs import move_run
from app.storage.changes.undo import take_back
from app.storage.engine import reading, writing
from app.storage.queries.history import history
from app.storage.refusals import OutOfDate, Refusal
from app.storage.translate import day_of

COOK = {"id": "one-more-2", "name": "one more cook", "skills": ["pastry"],
        "shifts": [["2027-03-04T07:00", "2027-03-04T17:00"]]}  # fmt: skip
OVEN = {"id": "deck-oven-2", "kind": "oven", "units": 2, "settings": {"change_min": 15},
        "closed": [["2027-03-04T08:00", "2027-03-04T09:00"]]}  # fmt: skip
WAY = {"id": "mixer-2", "name": "quicker", "phases": [
    {"lasts_min": 9, "hands": 1, "equipment": [{"kind": "mixer", "per_batch": 1}]},
    {"lasts_min": 1, "equipment": [{"kind": "oven", "copies_per_unit": 2, "setting": 90}]}],
    "from": [{"stage": "scaled", "count": 2}]}  # fmt: skip
NEED = "/demonstrations/0/beats/2/needs/0/backups"
CHANGES: dict[str, list[Operation]] = {
    "a run later": [replaced("/runs/1/starts", "2027-03-04T15:45")],
    "prep earlier": [replaced("/prep_from", "2027-03-04T06:30")],
    "a longer shift": [
        replaced("/kitchen/crew/0/shifts/0", ["2027-03-04T07:00", "2027-03-04T17:40"])
    ],
    "a shift the day before": [
        replaced("/prep_from", "2027-03-03T15:00"),
        added("/kitchen/crew/0/shifts/0", ["2027-03-03T15:00", "2027-03-03T16:00"]),
    ],
    "a house rule": [added("/policy", {"ready_margin_min": 7})],
    "used again": [added("/policy", {"reuse": False})],
    "more units": [added("/kitchen/equipment/0/units", 3)],
    "one more item": [added("/kitchen/equipment/-", OVEN)],
    "one more cook": [added("/kitchen/crew/-", COOK)],
    "another skill": [added("/kitchen/crew/0/skills", ["pastry", "sugar"])],
    "one more level": [replaced("/kitchen/shelves/0/levels", [4, 4, 4, 4, 4])],
    "one more shelf unit": [
        added("/kitchen/shelves/-", {"id": "rack-2", "zone": "ambient", "levels": [4, 4]})
    ],
    "fewer backups": [added(NEED, 5)],
    "another way": [added("/demonstrations/0/stages/1/ways/-", WAY)],
}


def _after(day: Day, operations: list[Operation]) -> Day:
    return read_day(patched(document(day), operations))


def _taken_up(knots: int, before: Day, after: Day, once: str = "tap") -> Change:
    with writing() as connection:
        words = "Start it later."
        return take_up_remedy(connection, knots, before, after, words=words, by="Ada", once=once)


def _stored(knots: int) -> Day:
    with reading() as connection:
        return day_of(connection, knots)


@pytest.mark.parametrize("name", CHANGES)
def test_each_kind_of_remedy_is_stored_and_taken_back(
    knots: int, knots_day: Day, name: str
) -> None:
    """The production is the changed day, then the day as it was, to the last field."""
    after = _after(knots_day, CHANGES[name])
    assert after != knots_day
    change = _taken_up(knots, knots_day, after)
    assert _stored(knots) == after
    with writing() as connection:
        take_back(connection, knots, change.n, by="Ada", once="back")
    assert _stored(knots) == knots_day


def test_a_closed_span_is_opened(knots: int, knots_day: Day) -> None:
    """Closed spans are a production's own rows."""
    with_oven = _after(knots_day, [added("/kitchen/equipment/-", OVEN)])
    _taken_up(knots, knots_day, with_oven)
    opened = _after(with_oven, [removed("/kitchen/equipment/2/closed")])
    _taken_up(knots, with_oven, opened, once="open")
    assert _stored(knots) == opened


def test_a_double_tap_takes_it_up_once(knots: int, knots_day: Day) -> None:
    """The second request gets the first one's answer; the record says who did what."""
    after = _after(knots_day, CHANGES["a run later"])
    first = _taken_up(knots, knots_day, after)
    assert _taken_up(knots, knots_day, after).n == first.n
    with reading() as connection:
        assert history(connection, knots)[0].words == "Ada took up a remedy: Start it later."


def test_a_remedy_for_a_day_that_has_changed_is_refused(knots: int, knots_day: Day) -> None:
    """What somebody else did meanwhile stays."""
    to = "2027-03-04T14:20"
    with writing() as connection:
        began = "2027-03-04T14:00"
        move_run(connection, knots, "knots-take-1", to, began_from=began, by="Bo", once="move")
    with pytest.raises(OutOfDate):
        _taken_up(knots, knots_day, _after(knots_day, CHANGES["prep earlier"]))
    assert _stored(knots).run("knots-take-1").starts == to


def test_what_no_remedy_changes_is_refused_whole(knots: int, knots_day: Day) -> None:
    """A run that goes cannot be stored so, and nothing else of the change is."""
    operations = [removed("/runs/1"), *CHANGES["prep earlier"]]
    with pytest.raises(Refusal, match=TOO_MUCH):
        _taken_up(knots, knots_day, _after(knots_day, operations))
    assert _stored(knots) == knots_day
