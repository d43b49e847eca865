"""The one way to write a day or an event down, so that equal ones are equal bytes."""

import json
from functools import cache
from hashlib import sha256
from typing import Any, NamedTuple

from pydantic import BaseModel

from app.planning.day import Day
from app.planning.events import Event

# Where a stage says neither, a copy takes one slot by itself: these 1s are fixed defaults too,
# but the model keeps them None, because a stage may name only one of the two.
AS_IF_UNSAID = {"copies_per_slot": 1, "slots": 1}
# What tells a reader which model this is.
ALWAYS_SAID = frozenset({"format", "event"})


def canonical(told: Day | Event) -> bytes:
    """Return a day, or an event, in canonical form.

    Parameters
    ----------
    told
        The day, or the event; the events of a file are a line each.

    Returns
    -------
    bytes
        UTF-8 JSON: keys in the order in which the models declare them, fixed defaults and objects
        so emptied left out, whole numbers without a point, no blanks between tokens, no line end.
    """
    text = json.dumps(document(told), ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.encode("utf-8")


def fingerprint(day: Day) -> str:
    """Return the sha256 of the canonical form, in hexadecimal digits."""
    return sha256(canonical(day)).hexdigest()


def document(part: BaseModel) -> dict[str, Any]:
    """Return an event, a day or a part of one as the object that the canonical form writes."""
    written: dict[str, Any] = {}
    for entry in _entries(type(part)):
        value = getattr(part, entry.name)
        if not entry.is_always_said and value in entry.unsaid:
            continue
        plain = _plain(value)
        if plain != {}:
            written[entry.key] = plain
    return written


class _Entry(NamedTuple):
    """How a field is written: under which key, and which values are left out."""

    name: str
    key: str
    is_always_said: bool
    unsaid: tuple[object, ...]


@cache
def _entries(kind: type[BaseModel]) -> tuple[_Entry, ...]:
    """Return the fields of a model that are written, looked up once: a day has thousands."""
    return tuple(
        _Entry(
            name,
            field.alias or name,
            field.is_required() or name in ALWAYS_SAID,
            (field.default, AS_IF_UNSAID.get(name, field.default)),
        )
        for name, field in kind.model_fields.items()
        if not field.exclude
    )


def _plain(value: object) -> object:
    if isinstance(value, BaseModel):
        return document(value)
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value
