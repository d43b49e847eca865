"""The one way to write a day down, so that equal days are equal bytes."""

import json
from hashlib import sha256
from typing import Any

from pydantic import BaseModel

from app.planning.day import Day

# Where a stage says neither, a copy takes one slot by itself: these 1s are fixed defaults too,
# but the model keeps them None, because a stage may name only one of the two.
AS_IF_UNSAID = {"copies_per_slot": 1, "slots": 1}


def canonical(day: Day) -> bytes:
    """Return a day in canonical form.

    Parameters
    ----------
    day
        The day.

    Returns
    -------
    bytes
        UTF-8 JSON: keys in the order in which the models declare them, fixed defaults and objects
        so emptied left out, whole numbers without a point, no blanks between tokens, no line end.
    """
    text = json.dumps(document(day), ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.encode("utf-8")


def fingerprint(day: Day) -> str:
    """Return the sha256 of the canonical form, in hexadecimal digits."""
    return sha256(canonical(day)).hexdigest()


def document(part: BaseModel) -> dict[str, Any]:
    """Return a part of a day as the object that the canonical form writes."""
    written: dict[str, Any] = {}
    for name, field in type(part).model_fields.items():
        value = getattr(part, name)
        if _is_left_out(name, value, field.is_required(), field.default):
            continue
        plain = _plain(value)
        if plain != {}:
            written[field.alias or name] = plain
    return written


def _is_left_out(name: str, value: object, required: bool, default: object) -> bool:
    if required or name == "format":
        return False
    return value == default or (name in AS_IF_UNSAID and value == AS_IF_UNSAID[name])


def _plain(value: object) -> object:
    if isinstance(value, BaseModel):
        return document(value)
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value
