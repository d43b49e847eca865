"""Values of a day as cells and back: what a person reads, and nothing lost.

A text stands as it is, except where a spreadsheet would change it or it could be taken for
something else: then it is a JSON string. A list has `;` between its entries, or is a JSON list. A
span is an interval of ISO 8601 (`from/to`). An empty cell says nothing, so the usual holds.
"""

import json
import re
from collections.abc import Callable
from typing import Any

from app.exchange.sheets import Cell

# What XML cannot hold or a spreadsheet program reads as an escape of its own.
_CHANGED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]|_x[0-9A-Fa-f]{4}_")
_INPUT = re.compile(r"(?:(\d{1,7})\s+)?(?:([^\s/;]+)/)?([^\s/;]+)")
_WHOLE = re.compile(r"[+-]?\d{1,15}")
YES, NO = "yes", "no"
_TRUTHS = {YES: True, "true": True, "1": True, NO: False, "false": False, "0": False}


def written_text(value: str) -> str:
    """Return a text as a cell."""
    if value.strip() and value[0] != '"' and not _CHANGED.search(value):
        return value
    return json.dumps(value).replace("_x", "\\u005fx")


def read_text(cell: Cell) -> object:
    """Return the text of a cell."""
    if isinstance(cell, bool):
        return YES if cell else NO
    if not isinstance(cell, str):
        return _shortest(cell)
    if cell.startswith('"') and cell.endswith('"'):
        told = _json(cell)
        return told if isinstance(told, str) else cell
    return cell


def _shortest(cell: int | float | None) -> str:
    whole = isinstance(cell, float) and cell.is_integer()
    return str(int(cell) if whole and cell is not None else cell)


def read_word(cell: Cell) -> object:
    """Return an id, a kind or a time: a text without blanks around it."""
    told = read_text(cell)
    return told.strip() if isinstance(told, str) else told


def written_truth(value: bool) -> str:
    """Return yes or no."""
    return YES if value else NO


def read_truth(cell: Cell) -> object:
    """Return what yes or no means; what is neither stays for whoever refuses it."""
    if isinstance(cell, bool):
        return cell
    told = str(read_word(cell))
    return _TRUTHS.get(told.lower(), told)


def written_number(value: float) -> float:
    """Return a number."""
    return value


def read_number(cell: Cell) -> object:
    """Return the number of a cell; what is none stays for whoever refuses it."""
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        return int(cell)
    if not isinstance(cell, str):
        return cell
    told = cell.strip().replace("\u2212", "-")
    if _WHOLE.fullmatch(told):
        return int(told)
    try:
        return float(told.replace(",", ".") if told.count(",") == 1 else told)
    except ValueError:
        return cell


def written_texts(value: list[str]) -> str:
    """Return texts with `;` between them."""
    if value and all(_is_plain(each) for each in value) and not value[0].startswith("["):
        return "; ".join(value)
    return json.dumps(value).replace("_x", "\\u005fx")


def _is_plain(text: str) -> bool:
    return bool(text) and text == text.strip() == written_text(text) and ";" not in text


def read_texts(cell: Cell) -> object:
    """Return the texts of a cell."""
    told = read_text(cell)
    if isinstance(told, str) and told.lstrip().startswith("["):
        listed = _json(told)
        return listed if isinstance(listed, list) else [told]
    parts = [part.strip() for part in str(told).split(";")]
    return [part for part in parts if part]


def written_numbers(value: list[int]) -> str:
    """Return whole numbers with `;` between them."""
    return "; ".join(map(str, value)) if value else "[]"


def read_numbers(cell: Cell) -> object:
    """Return the whole numbers of a cell."""
    return [read_number(each) for each in _parts(cell)]


def written_spans(value: list[list[str]]) -> str:
    """Return spans as intervals."""
    return "; ".join("/".join(span) for span in value) if value else "[]"


def read_spans(cell: Cell) -> object:
    """Return the spans of a cell."""
    return [[end.strip() for end in each.split("/")] for each in _parts(cell)]


def written_inputs(value: list[dict[str, Any]]) -> str:
    """Return inputs as `2 rested; 1 broth/clear`: count, demonstration if another, stage."""
    told = []
    for each in value:
        home = f"{each['demonstration']}/" if "demonstration" in each else ""
        told.append(f"{each.get('count', 1)} {home}{each['stage']}")
    return "; ".join(told) if told else "[]"


def read_inputs(cell: Cell) -> object:
    """Return the inputs of a cell; what has another form stays for whoever refuses it."""
    return [_input(each) for each in _parts(cell)]


def _input(told: str) -> object:
    match = _INPUT.fullmatch(told)
    if match is None:
        return told
    count, home, stage = match.groups()
    said: dict[str, object] = {"stage": stage}
    if count is not None:
        said["count"] = int(count)
    if home is not None:
        said["demonstration"] = home
    return said


def _parts(cell: Cell) -> list[str]:
    told = str(read_word(cell))
    return [] if told == "[]" else [part.strip() for part in told.split(";") if part.strip()]


def _json(text: str) -> object:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


Writing = Callable[[Any], Cell]
Reading = Callable[[Cell], object]
FORMS: dict[str, tuple[Writing, Reading]] = {
    "text": (written_text, read_text),
    "word": (written_text, read_word),
    "number": (written_number, read_number),
    "truth": (written_truth, read_truth),
    "texts": (written_texts, read_texts),
    "numbers": (written_numbers, read_numbers),
    "spans": (written_spans, read_spans),
    "inputs": (written_inputs, read_inputs),
}
