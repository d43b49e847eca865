"""The JSON Schemas that editors read, held against a validator of another house."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import BaseModel

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import day_schema, plan_schema, read_plan
from tests.planning.whole_day import GONE, changed, whole_day

GOLDEN = Path(__file__).parents[1] / "golden"
DAYS = sorted(file.name for file in GOLDEN.glob("*.day.json"))
STAGE = "demonstrations[0].stages[2]"
WRONG = [
    {"format": "day/2"},
    {"format": GONE},
    {"title": 5},
    {"titel": "t"},
    {"prep_from": "2027-03-04T07:00:00"},
    {"kind": "film"},
    {"policy.confidence": 1},
    {"policy.confidence": 0},
    {"policy.prefer": "fast"},
    {"kitchen.crew[0].shifts[0]": ["2027-03-04T07:00"]},
    {f"{STAGE}.id": "Baked"},
    {f"{STAGE}.id": "a" * 49},
    {f"{STAGE}.loss": 1},
    {f"{STAGE}.cost": -1},
    {f"{STAGE}.keeps_min": 2.5},
    {f"{STAGE}.keeps_min": 1_000_001},
    {f"{STAGE}.keeps_min": "5"},
    {f"{STAGE}.keeps_min": None},
    {f"{STAGE}.yields": 0},
    {f"{STAGE}.zone": "warm"},
    {f"{STAGE}.takes": []},
    {f"{STAGE}.ways[0].phases": GONE},
    {"runs[0].stations": 0},
    {"runs[0].dry": 1},
]


def test_the_schemas_are_schemas() -> None:
    """Of the draft that they name."""
    for schema in (day_schema(), plan_schema()):
        Draft202012Validator.check_schema(schema)
        assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
        assert json.loads(json.dumps(schema)) == schema


@pytest.mark.parametrize("name", DAYS)
def test_the_golden_days_fit_the_schema(name: str, golden: Callable[[str], Any]) -> None:
    """An editor finds nothing in a valid day."""
    Draft202012Validator(day_schema()).validate(golden(name))


def test_the_whole_day_and_the_golden_plan_fit_their_schemas(
    golden: Callable[[str], Any],
) -> None:
    """Every field of the models is in the schema."""
    Draft202012Validator(day_schema()).validate(whole_day())
    plan = golden("knots.plan.json")
    Draft202012Validator(plan_schema()).validate(plan)
    Draft202012Validator(plan_schema()).validate(read_plan(plan).document())


@pytest.mark.parametrize("changes", WRONG, ids=lambda each: next(iter(each)))
def test_the_schema_finds_what_an_editor_can_show(changes: dict[str, Any]) -> None:
    """Keys, kinds of value, bounds and forms; references are for reading."""
    assert not Draft202012Validator(day_schema()).is_valid(changed(whole_day(), changes))


@pytest.mark.parametrize(("model", "schema"), [(Day, day_schema()), (Plan, plan_schema())])
def test_the_schema_has_every_field_of_every_model(
    model: type[BaseModel], schema: dict[str, Any]
) -> None:
    """The models are the only list of fields."""
    found = {model.__name__: schema, **schema["$defs"]}
    models = _models(model)
    assert {each.__name__ for each in models} == set(found)
    for each in models:
        keys = [field.alias or name for name, field in each.model_fields.items()]
        assert list(found[each.__name__]["properties"]) == keys


def _models(model: type[BaseModel]) -> set[type[BaseModel]]:
    """Return the models that a model is made of, itself too, as pydantic sees them."""
    definitions = model.model_json_schema().get("$defs", {})
    module = __import__(model.__module__, fromlist=["*"])
    return {model, *(getattr(module, name) for name in definitions)}
