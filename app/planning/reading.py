"""From a document to a frozen day or plan, or to all that is wrong with it."""

from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.refusals.fault import DayFault, Found, Refused, refused

__all__ = ["DayFault", "Refused", "day_schema", "plan_schema", "read_day", "read_plan"]
M = TypeVar("M", bound=BaseModel)


def read_day(document: object) -> Day:
    """Return the day that a document tells; Refused with all its faults."""
    return _read(Day, document)


def read_plan(document: object) -> Plan:
    """Return the plan that a document tells; Refused with all its faults."""
    return _read(Plan, document)


def _read(model: type[M], document: object) -> M:
    try:
        return model.model_validate(document)
    except ValidationError as error:
        found = [Found(each["loc"], each["msg"]) for each in error.errors()]
        raise refused(document, found) from None


def day_schema() -> dict[str, Any]:
    """Return the JSON Schema of `day/1`."""
    return Day.model_json_schema(by_alias=True)


def plan_schema() -> dict[str, Any]:
    """Return the JSON Schema of `plan/1`."""
    return Plan.model_json_schema(by_alias=True)
