"""A day and a plan as files: JSON from anywhere, read with suspicion."""

import gc
import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from app.exchange.suspicion import parsed
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day, read_plan

MOST_MB_OF_A_DAY = 16
MOST_MB_OF_A_PLAN = 32


def load_day(data: bytes, read: Callable[[object], Day] = read_day) -> Day:
    """Return the day of a file.

    Parameters
    ----------
    data
        The bytes of the file, from whomever.
    read
        How its document is read: whole, or as one that is still being built.

    Raises
    ------
    Refused
        With all that is wrong, in the order of the file.
    """
    with _nothing_collected():
        return read(parsed(data, MOST_MB_OF_A_DAY))


def load_plan(data: bytes) -> Plan:
    """Return the plan of a file.

    Raises
    ------
    Refused
        With all that is misshapen, in the order of the file.
    """
    with _nothing_collected():
        return read_plan(parsed(data, MOST_MB_OF_A_PLAN))


@contextmanager
def _nothing_collected() -> Iterator[None]:
    """Keep Python from looking for rubbish among what is being read: a third of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def dump_plan(plan: Plan) -> bytes:
    """Return a plan as the bytes of its file: a line for each entry of its lists."""
    lines = []
    for key, value in plan.document().items():
        if isinstance(value, list) and value:
            written = "[\n  " + ",\n  ".join(map(_line, value)) + "]"
        else:
            written = _line(value)
        lines.append(f"{_line(key)}: {written}")
    return ("{" + ",\n ".join(lines) + "}\n").encode("utf-8")


def _line(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)
