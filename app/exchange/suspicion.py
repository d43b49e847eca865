"""JSON from anywhere, read with suspicion: what is not safe to read is refused in a sentence."""

import json
import re
from typing import Any

from app.planning.refusals.fault import DayFault, Refused
from app.planning.refusals.keys import Doubled

MB = 1_000_000
DEEPEST = 40
LONGEST_NUMBER = 400
# A plan says about forty thousand things a megabyte; far more only keep a reader busy.
MOST_ENTRIES_A_MB = 64_000
_BOM = b"\xef\xbb\xbf"
_QUOTED = re.compile(rb'"[^"]*"')
_PLAIN = bytes(set(range(256)) - set(b'"[]{},'))
_SQUARE = bytes.maketrans(b"{}", b"[]")


class TooMuch(ValueError):
    """Brackets nest deeper, or entries are more, than a reader should take in."""


def parsed(data: bytes, most_mb: int) -> object:
    """Return what the JSON of a file says.

    Parameters
    ----------
    data
        The bytes of the file, from whomever.
    most_mb
        How many millions of them are read at most.

    Raises
    ------
    Refused
        If it is no JSON, or none that is safe to read.
    """
    check_size(data, most_mb)
    if not data.strip():
        raise _refusal("the file", "it is empty; a file holds one JSON object in { }")
    text = text_of(data)
    try:
        return value_of(text, data, most_mb)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise _refusal(place, why_no_json(error)) from None
    except TooMuch as sentence:
        raise _refusal("the file", str(sentence)) from None


def check_size(data: bytes, most_mb: int) -> None:
    """Raise Refused if there are more than so many millions of bytes."""
    if len(data) > most_mb * MB:
        size = f"{len(data) / MB:.1f} MB"
        raise _refusal("the file", f"{size} are too many; {most_mb} MB at most, so make it smaller")


def value_of(text: str, data: bytes, most_mb: int) -> object:
    """Return what a JSON text says; keys that stand twice make an object `Doubled`.

    Parameters
    ----------
    text, data
        The text, and its bytes in UTF-8.
    most_mb
        How many millions of them are read at most, and so how many entries.

    Raises
    ------
    TooMuch, json.JSONDecodeError
        If it nests or goes on without end, if it is no JSON.
    """
    marks = _marks(data)
    most = most_mb * MOST_ENTRIES_A_MB
    if marks.count(b",") > most:
        raise TooMuch(f"more than {most} entries stand in it; make it smaller")
    if _is_deep(marks):
        raise TooMuch(f"brackets nest deeper than {DEEPEST}; take the inner ones out")
    return json.loads(text, object_pairs_hook=_object, parse_int=_whole, parse_constant=float)


def text_of(data: bytes) -> str:
    """Return the text of a file; Refused if it is not plain UTF-8."""
    if data.startswith(_BOM):
        words = "it starts with a byte order mark (EF BB BF); save it as UTF-8 without one"
        raise _refusal("the file", words)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        byte = f"byte {error.start} (0x{data[error.start]:02X})"
        raise _refusal("the file", f"{byte} is no UTF-8 text; save it as JSON in UTF-8") from None


def _marks(data: bytes) -> bytes:
    """Return the brackets and commas of a JSON text that stand in none of its strings."""
    escaped = data.replace(b"\\\\", b"").replace(b'\\"', b"")
    return _QUOTED.sub(b"", escaped.translate(None, _PLAIN).replace(b'""', b""))


def _is_deep(marks: bytes) -> bool:
    """Tell whether brackets nest too deep for a reader that goes down with each of them.

    The innermost pairs are taken out, level by level: what is left when the levels are used up is
    too deep, or is not closed and so no JSON.
    """
    nest = marks.translate(_SQUARE, b'",')
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


def why_no_json(error: json.JSONDecodeError, what: str = "file") -> str:
    """Return in words what makes a text, a file or a line, no JSON, and the mend."""
    here = error.doc[error.pos : error.pos + 1]
    if not here:
        return f"the {what} ends too soon; close what is open, or send all of it"
    said = json.dumps(here, ensure_ascii=False)
    reason = error.msg[:1].lower() + error.msg[1:]
    return f"{said} makes this no JSON ({reason}); mend it there or just before"


def _refusal(place: str, words: str) -> Refused:
    return Refused([DayFault(place, words)])
