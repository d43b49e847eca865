"""A day and a plan as files: JSON from anywhere, read with suspicion."""

import gc
import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day, read_plan
from app.planning.refusals.fault import DayFault, Refused
from app.planning.refusals.keys import Doubled

MB = 1_000_000
MOST_MB_OF_A_DAY = 16
MOST_MB_OF_A_PLAN = 64
DEEPEST = 40
LONGEST_NUMBER = 400
_BOM = b"\xef\xbb\xbf"
_QUOTED = re.compile(rb'"[^"]*"')
_NOT_NESTING = bytes(set(range(256)) - set(b'"[]{}'))
_SQUARE = bytes.maketrans(b"{}", b"[]")


def load_day(data: bytes) -> Day:
    """Return the day of a file.

    Parameters
    ----------
    data
        The bytes of the file, from whomever.

    Raises
    ------
    Refused
        With all that is wrong, in the order of the file.
    """
    with _nothing_collected():
        return read_day(_parsed(data, MOST_MB_OF_A_DAY))


def load_plan(data: bytes) -> Plan:
    """Return the plan of a file.

    Raises
    ------
    Refused
        With all that is misshapen, in the order of the file.
    """
    with _nothing_collected():
        return read_plan(_parsed(data, MOST_MB_OF_A_PLAN))


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


def _parsed(data: bytes, most_mb: int) -> object:
    """Return what the JSON of a file says; Refused if it is none, or none that is safe to read."""
    if len(data) > most_mb * MB:
        size = f"{len(data) / MB:.1f} MB"
        raise _refusal("the file", f"{size} are too many; {most_mb} MB at most, so make it smaller")
    text = _text(data)
    if _is_deep(data):
        raise _refusal("the file", f"brackets nest deeper than {DEEPEST}; take the inner ones out")
    try:
        return json.loads(text, object_pairs_hook=_object, parse_int=_whole, parse_constant=float)
    except json.JSONDecodeError as error:
        raise _no_json(error) from None


def _text(data: bytes) -> str:
    if not data.strip():
        raise _refusal("the file", "it is empty; a file holds one JSON object in { }")
    if data.startswith(_BOM):
        words = "it starts with a byte order mark (EF BB BF); save it as UTF-8 without one"
        raise _refusal("the file", words)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        byte = f"byte {error.start} (0x{data[error.start]:02X})"
        raise _refusal("the file", f"{byte} is no UTF-8 text; save it as JSON in UTF-8") from None


def _is_deep(data: bytes) -> bool:
    """Tell whether brackets nest too deep for a reader that goes down with each of them.

    Strings are taken out, then the innermost pairs, level by level: what is left when the levels
    are used up is too deep, or is not closed and so no JSON.
    """
    escaped = data.replace(b"\\\\", b"").replace(b'\\"', b"")
    bare = escaped.translate(None, _NOT_NESTING).replace(b'""', b"")
    nest = _QUOTED.sub(b"", bare).translate(_SQUARE, b'"')
    for _ in range(DEEPEST):
        before = len(nest)
        nest = nest.replace(b"[]", b"")
        if len(nest) == before:
            break
    return b"[]" in nest or nest.count(b"[") > DEEPEST


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    return made if len(made) == len(pairs) else Doubled(pairs)


def _whole(digits: str) -> int | float:
    """Return a whole number; one of hundreds of digits, which is refused anyhow, as infinite."""
    if len(digits) <= LONGEST_NUMBER:
        return int(digits)
    return float("-inf" if digits.startswith("-") else "inf")


def _no_json(error: json.JSONDecodeError) -> Refused:
    place = f"line {error.lineno}, column {error.colno}"
    here = error.doc[error.pos : error.pos + 1]
    if not here:
        return _refusal(place, "the file ends too soon; close what is open, or send all of it")
    said = json.dumps(here, ensure_ascii=False)
    reason = error.msg[:1].lower() + error.msg[1:]
    return _refusal(place, f"{said} makes this no JSON ({reason}); mend it there or just before")


def _refusal(place: str, words: str) -> Refused:
    return Refused([DayFault(place, words)])
