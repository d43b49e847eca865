"""The rundown is built: runs added, changed, told where they overlap, a day duplicated."""

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.web.moments import Moment
from app.web.typed import NotUnderstood
from tests.live import stored
from tests.web.editing import Editing, day

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}
NEW = {"kind": "pickup", "demonstration": "knots", "date": "Thu 4 March", "hour": "15.32"}


def added(ada: Editing, **fields: str):
    """Send the form that adds a run."""
    address = f"/productions/{ada.production}/runs"
    return ada.client.post(address, data=NEW | fields, headers=PART)


def last(ada: Editing) -> tuple[str, dict]:
    """Return the place and the row of the newest run."""
    row = max(ada.rows().all("runs"), key=lambda each: each["id"])
    return f"runs/{row['id']}", row


def fill(ada: Editing, field: str, text: str):
    """Fill in a field of the newest run, from what it shows."""
    place, _ = last(ada)
    began = ada.page("rundown")[f"{place} {field}"]
    return ada.post("fill", place=place, field=field, text=text, began=began)


def test_a_run_is_added_and_an_overlap_told(ada: Editing) -> None:
    """A pickup starts at its first beat; two on set at once are told, not forbidden."""
    answer = added(ada)
    assert answer.status_code == 200
    assert "added Cardamom knots pickup." in answer.text
    run = day(ada).run("knots-pickup")
    assert (run.kind, run.starts, run.starts_at_first_beat) == ("pickup", "2027-03-04T15:32", True)
    assert (
        "Cardamom knots pickup starts at 15:32, while knots-take-2 is on set until" in answer.text
    )
    assert "to mend" not in answer.text


def test_a_run_that_becomes_a_pickup_starts_at_its_first_beat(ada: Editing) -> None:
    """As one that is added does; back again as well, and an undo takes both back."""

    def now() -> tuple[str, bool]:
        run = day(ada).run("knots-take")
        return run.kind, run.starts_at_first_beat

    added(ada, kind="take")
    status, said = fill(ada, "kind", "pickup")
    assert status == 200
    assert said["redraws"]
    assert now() == ("pickup", True)
    assert ada.post("undo")[0] == 200
    assert now() == ("take", False)
    fill(ada, "kind", "pickup")
    fill(ada, "kind", "stills")
    assert now() == ("stills", False)
    fill(ada, "kind", "pickup")
    fill(ada, "starts_at_first_beat", "no")
    fill(ada, "kind", "take")
    fill(ada, "starts_at_first_beat", "yes")
    fill(ada, "kind", "tasting")
    assert now() == ("tasting", True), "what somebody chose against the usual stays"


def test_a_run_added_in_the_table_below_a_pickup_is_one_as_well(ada: Editing) -> None:
    """It begins like the last run, at its first beat too."""
    added(ada)
    below = f'{{"production_id": {ada.production}}}'
    assert ada.post("add", table="runs", name="Hands again", below=below)[0] == 200
    run = day(ada).run("hands-again")
    assert (run.kind, run.starts_at_first_beat) == ("pickup", True)


def test_a_run_without_a_beat_says_that_nothing_is_made_for_it(ada: Editing) -> None:
    """Beats that are only in takes are in no tasting."""
    for row in ada.rows().all("beats"):
        place = f"beats/{row['id']}"
        began = ada.page("demonstrations/knots")[f"{place} kinds"]
        ada.post("fill", place=place, field="kinds", text="take", began=began)
    answer = added(ada, kind="tasting")
    assert "No beat of Cardamom knots is in a tasting, so nothing is made for it." in answer.text
    assert answer.text.count("so nothing is made for it") == 1


def test_a_beat_that_is_only_in_nothing_is_in_every_run(ada: Editing) -> None:
    """Who empties the field takes the limit off; in no run at all is said by a word."""
    for text, kinds in (("take", ("take",)), ("", None), ("none", ())):
        row = ada.rows().all("beats")[0]
        place = f"beats/{row['id']}"
        began = ada.page("demonstrations/knots")[f"{place} kinds"]
        ada.post("fill", place=place, field="kinds", text=text, began=began)
        assert day(ada).demonstrations[0].beats[0].kinds == kinds


def test_a_component_is_not_what_a_run_is_offered_of(client: TestClient, knots_day: Day) -> None:
    """It comes first in the list, since others are made from it, and is shown to nobody."""
    knots = knots_day.demonstrations[0]
    base = knots.model_copy(update={"id": "base", "title": "House base", "beats": ()})
    day = knots_day.model_copy(update={"demonstrations": (base, knots), "runs": ()})
    page = client.get(f"/productions/{stored(day, None)}/rundown").text
    assert '<option value="base">' in page
    assert '<option value="knots" selected>' in page


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"hour": "soon"}, "Such as 14:20, not “soon”"),
        ({"date": "30 February"}, "Such as Thu 4 March"),
        ({"date": "2027-09-01"}, "within 60 days"),
        ({"demonstration": "none"}, "Choose the demonstration"),
        ({"stations": "0"}, "A whole number from 1"),
    ],
)
def test_a_run_that_cannot_be_added(ada: Editing, fields: dict[str, str], said: str) -> None:
    """The sentence stands beside the field; what was typed stays; nothing is added."""
    answer = added(ada, name="Close <ups>", **fields)
    assert answer.status_code == 422
    assert said in answer.text
    assert 'value="Close &lt;ups&gt;"' in answer.text
    assert len(day(ada).runs) == 2


def test_the_facts_of_a_run_are_typed(ada: Editing) -> None:
    """Beats by name or from one on, people with what they avoid, an hour and a date apart."""
    added(ada)
    for field, text in (
        ("beats", "from tie"),
        ("people", "Ines avoids milk, egg; Ben"),
        ("hour", "9h05"),
        ("date", "Fri 5 March"),
        ("stations", "8"),
        ("dry", "yes"),
        ("ready_margin_min", "half an hour"),
    ):
        status, said = fill(ada, field, text)
        assert (status, said["fault"]) == (200, ""), (field, said)
    run = day(ada).run("knots-pickup")
    assert run.beats == ("tie", "reveal")
    assert [(each.name, each.avoids) for each in run.people] == [
        ("Ines", ("milk", "egg")),
        ("Ben", ()),
    ]
    assert (run.starts, run.stations, run.dry) == ("2027-03-05T09:05", 8, True)
    assert run.ready_margin_min == 30


def test_what_is_not_understood_of_a_run_is_kept(ada: Editing) -> None:
    """Beside the last value; a beat that is not there is told with those that are."""
    added(ada)
    assert "There is no “knead” here" in fill(ada, "beats", "knead")[1]["fault"]
    assert "Such as 14:20" in fill(ada, "hour", "soonish")[1]["fault"]
    page = ada.client.get(f"/productions/{ada.production}/rundown").text
    assert 'value="soonish"' in page
    assert day(ada).run("knots-pickup").starts == "2027-03-04T15:32"


def test_a_run_is_duplicated_deleted_and_brought_back(ada: Editing) -> None:
    """By the steps of every editor."""
    place = f"runs/{ada.id('runs', 'knots-take-2')}"
    before = day(ada)
    assert ada.post("duplicate", place=place)[0] == 200
    assert len(day(ada).runs) == 3
    assert ada.post("delete", place=last(ada)[0], seen=ada.rows().n)[0] == 200
    assert day(ada).runs == before.runs
    ada.post("undo")
    assert len(day(ada).runs) == 3


def test_a_day_is_duplicated_with_its_shifts_and_taken_back(ada: Editing) -> None:
    """The same hours on another date; undo takes all of it back at once."""
    before = day(ada)
    page = ada.client.get(f"/productions/{ada.production}/rundown").text
    assert 'name="to" type="date" required value="2027-03-05"' in page
    data = {"of": "2027-03-04", "to": "2027-03-05", "shifts": "yes", "once": "again"}
    for _ in range(2):
        answer = ada.client.post(f"/productions/{ada.production}/runs/day", data=data, headers=PART)
        assert answer.status_code == 200
    assert "duplicated Thu 4 March on Fri 5 March" in answer.text
    now = day(ada)
    assert [run.starts for run in now.runs[2:]] == ["2027-03-05T14:00", "2027-03-05T15:30"]
    assert now.kitchen.crew[0].shifts[1] == ("2027-03-05T07:00", "2027-03-05T17:00")
    assert ada.post("undo")[0] == 200
    assert day(ada) == before


@pytest.mark.parametrize(
    ("of", "to", "said"),
    [
        ("2027-03-04", "2027-03-04", "That is the same day"),
        ("2027-03-09", "2027-03-05", "no run on that day"),
        ("abcdefghij", "2027-03-05", "no run on that day"),
        ("2027-03-04", "never", "Such as Thu 4 March"),
        ("2027-03-04", "2028-03-04", "within 60 days"),
    ],
)
def test_a_day_that_cannot_be_duplicated(ada: Editing, of: str, to: str, said: str) -> None:
    """The sentence stands beside the date; nothing is added."""
    data = {"of": of, "to": to}
    answer = ada.client.post(f"/productions/{ada.production}/runs/day", data=data, headers=PART)
    assert answer.status_code in (409, 422)
    assert said in answer.text
    assert len(day(ada).runs) == 2


def test_the_production_has_fields_of_its_own(ada: Editing) -> None:
    """Title, kind, time zone, start of the prep; a zone without one of its times is refused."""
    place = f"productions/{ada.production}"
    for field, text in (
        ("title", "Harvest hour, again"),
        ("kind", "class"),
        ("timezone", "europe/paris"),
        ("prep_from", "Wed 3 March, 18:00"),
    ):
        began = ada.page("rundown")[f"{place} {field}"]
        status, said = ada.post("fill", place=place, field=field, text=text, began=began)
        assert (status, said["fault"]) == (200, ""), said
    now = day(ada)
    assert (now.title, now.kind, now.timezone) == ("Harvest hour, again", "class", "Europe/Paris")
    assert now.prep_from == "2027-03-03T18:00"
    began = ada.page("rundown")[f"{place} timezone"]
    said = ada.post("fill", place=place, field="timezone", text="Mars/Base", began=began)[1]
    assert "A time zone such as" in said["fault"]


@pytest.mark.parametrize(
    ("text", "part", "means"),
    [
        ("Thu 4 March, 14:20", "both", "2027-03-04T14:20"),
        ("fri 18:30", "both", "2027-03-05T18:30"),
        ("5 Mar 7.05", "both", "2027-03-05T07:05"),
        ("March 6", "both", "2027-03-06T14:00"),
        ("2027-03-07 0930", "both", "2027-03-07T09:30"),
        ("9", "both", "2027-03-04T09:00"),
        ("2 pm", "hour", "2027-03-04T14:00"),
        ("18h", "hour", "2027-03-04T18:00"),
        ("Fri 5 March, 18 h", "both", "2027-03-05T18:00"),
        ("12 am", "hour", "2027-03-04T00:00"),
        ("24:00", "hour", "2027-03-05T00:00"),
        ("26:15", "hour", "2027-03-05T02:15"),
        ("Thu 25:30", "both", "2027-03-05T01:30"),
        ("next day 07:00", "both", "2027-03-05T07:00"),
        ("noon", "hour", "2027-03-04T12:00"),
        ("midnight", "hour", "2027-03-05T00:00"),
        ("2027-03-07T09:30", "both", "2027-03-07T09:30"),
        ("2 Jan", "date", "2027-01-02T14:00"),
        ("20 December", "date", "2026-12-20T14:00"),
    ],
)
def test_a_time_is_typed_as_people_type_it(text: str, part, means: str) -> None:
    """What is left out is that of the row; a date without a year is the nearest."""
    reader = Moment("Europe/Lisbon", "2027-03-04T14:00", part)
    assert reader.understand(text) == means
    assert reader.understand(reader.say(means)) == means or part == "hour"


@pytest.mark.parametrize(
    "text",
    [
        *("", "soon", "48:00", "26", "14:60", "31 June", "30 February 7:00", "Thu 5 March 7:00"),
        *("13 pm", "14:20 or so"),
    ],
)
def test_a_text_that_is_no_time(text: str) -> None:
    """It is told; so is an hour that the clocks skip: 01:30 on 28 March 2027 in Lisbon."""
    with pytest.raises(NotUnderstood):
        Moment("Europe/Lisbon", "2027-03-04T14:00").understand(text)
    with pytest.raises(NotUnderstood, match="the clocks change"):
        Moment("Europe/Lisbon", "2027-03-28T14:00").understand("01:30")


def test_a_demonstration_that_runs_show_is_not_taken_back(ada: Editing) -> None:
    """Nothing is left to point nowhere: undo says to delete it, which takes its runs along."""
    ada.post("add", table="demonstrations", below='{"production_id": 1}', name="Braid")
    n = ada.rows().n
    added(ada, demonstration="braid")
    status, said = ada.post("undo", n=n)
    assert status in (409, 422)
    assert "delete it instead" in said["error"]
    assert ada.client.get("/productions/1/rundown").status_code == 200
    place = f"demonstrations/{ada.id('demonstrations', 'braid')}"
    ada.post("delete", place=place, seen=ada.rows().n)
    assert len(day(ada).runs) == 2
    assert ada.post("undo")[0] == 200
    assert len(day(ada).runs) == 3
