"""From a document to a frozen day or plan, or to all that is wrong with it."""

from collections.abc import Callable, Iterable, Sequence
from itertools import islice
from typing import Any

from pydantic import BaseModel

from app.planning.canonical import document as document_of
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.refusals import FIRM_RULES, RULES, plans
from app.planning.refusals.fault import DayFault, Found, Refused, refused
from app.planning.refusals.form import DAY, PLAN, Form
from app.planning.refusals.keys import doubled
from app.planning.refusals.limits import MOST_OF_A_DAY, MOST_OF_A_PLAN, beyond, crowd, within
from app.planning.refusals.outline import Outline
from app.planning.refusals.parts import part_of, schema_of
from app.planning.refusals.sketch import MOST_COUNTED, Enough, Reading, Sketch
from app.planning.refusals.times import clock_of
from app.planning.refusals.ways import ways_left_out

__all__ = [
    "DayFault",
    "Refused",
    "day_schema",
    "faults_of_day",
    "plan_schema",
    "read_day",
    "read_plan",
    "read_unfinished_day",
    "warnings_of",
]


def read_day(document: object) -> Day:
    """Return the day that a document tells.

    Parameters
    ----------
    document
        What a JSON reader made of a day file. Keys that stood twice are told if it made its
        objects as `refusals.keys.Doubled`.

    Raises
    ------
    Refused
        With all that is wrong, in the order of the document: a hundred faults told, the others
        counted (where a hundred thousand are found, the rest is left unread).
    """
    outline, found = _faults(document)
    if outline is None or found:
        raise refused(document, found)
    return Day.model_validate(outline.root.plain())


def read_unfinished_day(document: object) -> Day:
    """Return the day that a document tells, though it may not be whole enough to be planned.

    Raises
    ------
    Refused
        With all that nobody can go on building from: what is misshapen, stands twice, has the id of
        another, or points to nothing.
    """
    outline, found = _faults(document, FIRM_RULES)
    if outline is None or found:
        raise refused(document, found)
    return Day.model_validate(outline.root.plain())


def faults_of_day(day: Day) -> list[Found]:
    """Return all that is wrong with a day that came of another one: nothing if it is a day."""
    return _faults(document_of(day))[1]


def read_plan(document: object) -> Plan:
    """Return the plan that a document tells; whether it is right is for the audit to say.

    Raises
    ------
    Refused
        With all that is misshapen, in the order of the document.
    """
    if isinstance(document, dict) and (too_much := crowd(document, MOST_OF_A_PLAN)):
        raise refused(document, too_much)
    reading = Reading()
    sketch = _sketched(Plan, PLAN, document, reading)
    found = reading.found
    if sketch is not None:
        found += [each for rule in plans.RULES for each in rule(sketch)]
    if sketch is None or found:
        raise refused(document, found)
    return Plan.model_validate(sketch.plain())


def warnings_of(day: Day) -> list[str]:
    """Return a sentence for each way that this kitchen can never run though another is left."""
    outline, _ = _outline(document_of(day))
    return [] if outline is None else list(ways_left_out(outline))


def day_schema() -> dict[str, Any]:
    """Return the JSON Schema of `day/1`."""
    return schema_of(Day, DAY)


def plan_schema() -> dict[str, Any]:
    """Return the JSON Schema of `plan/1`."""
    return schema_of(Plan, PLAN)


def _faults(
    document: object, rules: Sequence[Callable[[Outline], Iterable[Found]]] = RULES
) -> tuple[Outline | None, list[Found]]:
    """Return a day as far as it is well shaped, and all that is wrong with it."""
    outline, found = _outline(document)
    if outline is not None:
        broken = (each for rule in rules for each in rule(outline))
        found += islice(broken, MOST_COUNTED)
    return outline, found


def _outline(document: object) -> tuple[Outline | None, list[Found]]:
    """Return a day as far as it is well shaped, and what is wrong with its shape."""
    reading = Reading(clock_of(document))
    told = document
    if isinstance(document, dict):
        reading.found += [*doubled(document, ()), *beyond(document)]
        told = within(document)
        if too_much := crowd(told, MOST_OF_A_DAY):
            return None, [*reading.found, *too_much]
    root = _sketched(Day, DAY, told, reading)
    if root is None or not isinstance(document, dict):
        return None, reading.found
    return Outline(root, document, reading.clock), reading.found


def _sketched(
    model: type[BaseModel], form: Form, document: object, reading: Reading
) -> Sketch | None:
    """Return a document as far as it is well shaped; None if that is too little to go on."""
    try:
        sketch = part_of(model, form).read(document, (), reading)
    except Enough:
        return None
    return sketch if isinstance(sketch, Sketch) else None
