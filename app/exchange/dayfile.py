"""A day and a plan as files: JSON from anywhere, read with suspicion."""

import json

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day, read_plan
from app.planning.refusals.fault import DayFault, Refused


def load_day(data: bytes) -> Day:
    """Return the day of a file; Refused with all its faults."""
    return read_day(_parsed(data))


def load_plan(data: bytes) -> Plan:
    """Return the plan of a file; Refused with all its faults."""
    return read_plan(_parsed(data))


def dump_plan(plan: Plan) -> bytes:
    """Return a plan as the bytes of its file: a line for each entry of its lists."""
    lines = []
    for key, value in plan.document().items():
        if isinstance(value, list) and value:
            written = "[\n  " + ",\n  ".join(map(_compact, value)) + "]"
        else:
            written = _compact(value)
        lines.append(f"{_compact(key)}: {written}")
    return ("{" + ",\n ".join(lines) + "}\n").encode("utf-8")


def _compact(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _parsed(data: bytes) -> object:
    try:
        return json.loads(data)
    except ValueError as error:
        raise Refused([DayFault("the file", str(error))]) from None
