"""Reading a day: what is accepted, what is filled in, and how faults are told."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from app.planning.day import Beat, Day, Ingredient, Input, Policy, Stage
from app.planning.reading import DayFault, Refused, read_day, read_plan
from tests.planning.whole_day import GONE, changed, whole_day

GOLDEN = Path(__file__).parents[1] / "golden"
DAYS = sorted(file.name for file in GOLDEN.glob("*.day.json"))
SMALLEST = {
    "format": "day/1",
    "title": "t",
    "timezone": "Europe/Lisbon",
    "prep_from": "2027-03-04T07:00",
}


@pytest.mark.parametrize("name", DAYS)
def test_every_golden_day_is_read(name: str, golden: Callable[[str], Any]) -> None:
    """Days with proven results are valid days."""
    assert isinstance(read_day(golden(name)), Day)


def test_the_golden_days_are_there() -> None:
    """An empty folder would pass every test over it."""
    assert len(DAYS) >= 50


def test_the_golden_plan_is_read(golden: Callable[[str], Any]) -> None:
    """A plan without `day` and `why` is a plan."""
    plan = read_plan(golden("knots.plan.json"))
    assert plan.day is None
    assert {count.why for count in plan.counts} == {""}


def test_the_smallest_day_has_every_default_of_the_top() -> None:
    """Only the four fields without a default must be there."""
    day = read_day(SMALLEST)
    assert (day.kind, day.stock, day.demonstrations, day.runs) == ("broadcast", (), (), ())
    assert (day.kitchen.equipment, day.kitchen.crew, day.kitchen.shelves) == ((), (), ())


def test_the_house_rules_have_their_defaults() -> None:
    """As the model gives them in brackets."""
    assert read_day(SMALLEST).policy == Policy(
        ready_margin_min=10,
        return_min=5,
        step_slack_min=0,
        confidence=0.95,
        reuse=True,
        prefer="hands",
        spread=0.1,
    )


def test_the_kitchen_has_its_defaults() -> None:
    """One unit, open all day, no settings; no skills."""
    day = _read(
        {
            "kitchen.equipment[0]": {"id": "oven-1", "kind": "oven"},
            "kitchen.crew[1]": {"id": "tome", "shifts": []},
        }
    )
    item, cook = day.kitchen.equipment[0], day.kitchen.crew[1]
    assert (item.units, item.closed, item.settings, item.called) == (1, (), None, "oven-1")
    assert cook.skills == ()


def test_an_item_is_cold_after_two_hours_by_default() -> None:
    """Or after its change of setting, where that takes longer."""
    for change, cold in ((15, 120), (120, 120), (121, 121)):
        day = _read({"kitchen.equipment[0].settings": {"change_min": change}})
        settings = day.kitchen.equipment[0].settings
        assert settings is not None
        assert settings.cold_after == cold


def test_a_stage_has_its_defaults() -> None:
    """One copy from ingredients, in the room, a slot each, at cost 1 and without loss."""
    stage = _read({"demonstrations[1].stages[1]": {"id": "plain", "keeps_min": 5}}).stage(
        "jam", "plain"
    )
    assert stage == Stage(
        id="plain",
        code=None,
        takes=(),
        yields=1,
        zone="ambient",
        keeps_min=5,
        copies_per_slot=None,
        slots=None,
        cost=1,
        loss=0,
        ways=(),
        ingredients=(),
        tools=(),
        container="",
        look="",
        caution="",
        photo="",
        raw_animal=False,
        ready_to_eat=False,
        needs_temperature_control=False,
        cook_to_c=None,
        safety_min=None,
    )
    assert stage.called == "plain"


def test_a_way_goes_by_its_stage_where_it_says_nothing() -> None:
    """In place of the stage's own `from`, `yields`, `cost`, `loss`."""
    stage = read_day(whole_day()).stage("buns", "baked")
    way = stage.ways[0]
    assert (way.takes, way.yields, way.cost, way.loss) == (None, None, None, None)
    assert stage.takes_by(way) == (
        Input(stage="shaped", count=1, demonstration=None),
        Input(stage="set", count=2, demonstration="jam"),
    )
    assert (stage.yields_by(way), stage.cost_by(way), stage.loss_by(way)) == (2, 0.5, 0.05)


def test_a_batch_holds_one_copy_by_default() -> None:
    """A way that can take more says so."""
    assert read_day(whole_day()).stage("jam", "set").ways[0].batch_max == 1


def test_a_phase_has_its_defaults() -> None:
    """Nobody, nothing, nowhere, no time but what it says."""
    phase = _read({}).stage("jam", "set").ways[0].phases[0]
    assert (phase.lasts_min, phase.per_copy_min, phase.per_copy_s) == (40, 0, 0)
    assert (phase.does, phase.hands, phase.skill, phase.zone) == ("", 0, None, None)
    assert phase.equipment == ()


def test_a_use_of_equipment_has_its_defaults() -> None:
    """No units by itself and none by the copy."""
    use = _read({}).stage("buns", "mixed").ways[0].phases[0].equipment[0]
    assert (use.per_batch, use.copies_per_unit, use.setting) == (1, None, None)
    assert _oven_use().per_batch == 0


def test_an_ingredient_has_its_defaults() -> None:
    """To taste, by the copy."""
    found = _read({}).demonstration("buns").beat("shape").ingredients[0]
    assert found == Ingredient(name="flour", amount=None, unit="", per="copy", contains=(), note="")


def test_a_beat_has_its_defaults() -> None:
    """In every kind of run, with nothing on the table."""
    place = "demonstrations[0].beats[1]"
    bare = {"id": "eat", "starts_s": 1, "lasts_s": 2}
    beat = _read({place: bare}).demonstration("buns").beat("eat")
    assert beat == Beat(
        id="eat",
        starts_s=1,
        lasts_s=2,
        kinds=None,
        needs=(),
        leaves=(),
        ingredients=(),
        tools=(),
        dressing=(),
        note="",
    )


def test_a_need_and_a_leaving_have_their_defaults() -> None:
    """One copy a station, no backup, touched or not, not eaten."""
    beat = (
        _read(
            {
                "demonstrations[0].beats[0].needs[0]": {"stage": "mixed"},
                "demonstrations[0].beats[0].leaves[0]": {"stage": "shaped"},
            }
        )
        .demonstration("buns")
        .beats[0]
    )
    need, leaving = beat.needs[0], beat.leaves[0]
    assert (need.count, need.backups, need.untouched, need.tasting) == (1, 0, False, False)
    assert (need.ready_margin_min, need.per_station) == (None, True)
    assert (leaving.count, leaving.per_station) == (1, True)


def test_a_run_has_its_defaults() -> None:
    """All beats of its kind, one station, with food, nobody to taste."""
    day = _read({"runs[1].dry": GONE})
    run = day.runs[1]
    assert (run.starts_at_first_beat, run.beats, run.stations) == (False, None, 1)
    assert (run.ready_margin_min, run.dry, run.people) == (None, False, ())
    assert [beat.id for beat in day.beats_of(run)] == ["eat"]


def test_the_whole_day_says_something_in_every_field() -> None:
    """A field that the tests never fill would be a field that they never test."""
    filled: dict[type[BaseModel], set[str]] = {}
    _fill(read_day(whole_day()), filled)
    silent = {
        (model.__name__, name)
        for model, names in filled.items()
        for name in set(model.model_fields) - names
    }
    assert silent == {("Day", "format")}


def test_all_faults_are_told_at_once_in_the_order_of_the_document() -> None:
    """Shape, numbers, times, ids, references and circles of one file together."""
    changes = {
        "policy.confidence": 2,
        "kitchen.crew[0].shifts[0]": ["2027-03-04T12:00", "2027-03-04T11:00"],
        "demonstrations[0].stages[0].ways[0].from": [{"stage": "shaped"}],
        "demonstrations[0].stages[2].from[1].stage": "sat",
        "demonstrations[0].beats[1].needs[0].count": "2",
        "demonstrations[1].id": "Jam",
        "demonstrations[1].titel": "x",
        "runs[1].demonstration": "pie",
        "runs[1].starts": "2027-03-28T01:30",
    }
    expected = [
        "policy.confidence",
        "kitchen.crew[0].shifts[0]",
        "demonstrations[0].stages[0].ways[0].from[0].stage",
        "demonstrations[0].stages[2].from[1].demonstration",
        "demonstrations[0].beats[1].needs[0].count",
        "demonstrations[1].id",
        "demonstrations[1].titel",
        "runs[1].demonstration",
        "runs[1].starts",
    ]
    assert [fault.place for fault in _refused(changes).faults] == expected


def test_faults_follow_the_document_and_not_the_model() -> None:
    """Whoever mends a file goes through it from its top."""
    document = {"runs": 5, "title": 5, "policy": 5, **SMALLEST} | {"title": 5, "format": "day/0"}
    with pytest.raises(Refused) as refused:
        read_day(document)
    assert [fault.place for fault in refused.value.faults] == ["runs", "title", "policy", "format"]


def test_a_hundred_faults_are_told_and_the_rest_counted() -> None:
    """The first hundred in the order of the document."""
    run = {"id": "x", "demonstration": "buns", "kind": "take"}
    refused = _refused({"runs": [{**run, "id": f"r{n}", "starts": n} for n in range(250)]})
    assert (len(refused.faults), refused.more) == (100, 150)
    assert refused.faults[99].place == "runs[99].starts"
    assert str(refused).splitlines()[-1] == "and 150 more"


def test_a_hundred_faults_leave_nothing_to_count() -> None:
    """The edge of it."""
    run = {"demonstration": "buns", "kind": "take", "starts": 5}
    refused = _refused({"runs": [{**run, "id": f"r{n}"} for n in range(100)]})
    assert (len(refused.faults), refused.more) == (100, 0)
    assert "more" not in str(refused).splitlines()[-1].split()


@pytest.mark.parametrize("document", [None, 5, "day/1", True, [], ["day/1"]])
def test_a_day_is_an_object(document: object) -> None:
    """Anything else is told in one sentence."""
    with pytest.raises(Refused) as refused:
        read_day(document)
    assert [fault.place for fault in refused.value.faults] == ["the file"]


def test_two_hundred_demonstrations_are_the_limit() -> None:
    """More make several days; the others are still looked at, and can be named."""
    many = [{"id": f"d{n}", "title": "t", "stages": []} for n in range(201)]
    run = {"id": "r", "demonstration": "d200", "kind": "take", "starts": "2027-03-04T15:00"}
    assert _read({"demonstrations": many[:200], "runs": [], "stock": []})
    refused = _refused({"demonstrations": many, "runs": [run], "stock": []})
    assert [str(fault) for fault in refused.faults] == [
        "demonstrations: 201 of them; 200 at most, so make several days"
    ]


def test_five_thousand_runs_are_the_limit() -> None:
    """More make several days."""
    run = {"demonstration": "jam", "kind": "take", "starts": "2027-03-04T15:00"}
    many = [{"id": f"r{n}", **run} for n in range(5001)]
    assert _read({"runs": many[:5000]})
    refused = _refused({"runs": many})
    assert [str(fault) for fault in refused.faults] == [
        "runs: 5001 of them; 5000 at most, so make several days"
    ]


def test_a_fault_reads_as_a_sentence_with_its_place() -> None:
    """On the command line, a line each."""
    fault = DayFault("runs[0].kind", '"live" is not known here')
    assert str(fault) == 'runs[0].kind: "live" is not known here'


def test_a_document_is_not_changed_by_reading_it() -> None:
    """Who hands it in may still need it."""
    document = whole_day()
    before = json.dumps(document)
    read_day(document)
    with pytest.raises(Refused):
        read_day(changed(document, {"runs[0].stations": 0}))
    assert json.dumps(changed(document, {"runs[0].stations": 2})) == before


def _read(changes: dict[str, Any]) -> Day:
    return read_day(changed(whole_day(), changes))


def _refused(changes: dict[str, Any]) -> Refused:
    with pytest.raises(Refused) as refused:
        _read(changes)
    return refused.value


def _oven_use() -> Any:
    return _read({}).stage("buns", "baked").ways[0].phases[0].equipment[0]


def _fill(part: BaseModel, filled: dict[type[BaseModel], set[str]]) -> None:
    """Note for each model which fields some part says something other than the default in."""
    names = filled.setdefault(type(part), set())
    for name, field in type(part).model_fields.items():
        value = getattr(part, name)
        if field.is_required() or value != field.default:
            names.add(name)
        for each in value if isinstance(value, tuple) else (value,):
            if isinstance(each, BaseModel):
                _fill(each, filled)
