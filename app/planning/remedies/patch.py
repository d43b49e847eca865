"""Changes of a document, written as a JSON Patch."""

from collections.abc import Iterable
from copy import copy, deepcopy
from typing import Any

Operation = dict[str, Any]


class NotPatched(ValueError):
    """A change that does not fit the document."""


def added(path: str, value: object) -> Operation:
    """Return the operation that adds a member or an entry, or puts a member in another's place."""
    return {"op": "add", "path": path, "value": value}


def replaced(path: str, value: object) -> Operation:
    """Return the operation that puts a value in the place of the one that is there."""
    return {"op": "replace", "path": path, "value": value}


def removed(path: str) -> Operation:
    """Return the operation that takes a value away."""
    return {"op": "remove", "path": path}


def patched(document: object, change: Iterable[Operation]) -> Any:
    """Return a document after a change; the one that is given stays as it is.

    What the change does not touch is not copied: it is the same in both.

    Parameters
    ----------
    document
        What a JSON reader makes.
    change
        Operations `add`, `remove`, `replace` and `test`, one after another.

    Raises
    ------
    NotPatched
        If an operation is none of these, or names a place that is not there.

    Source
    ------
    RFC 6902 (JSON Patch), RFC 6901 (JSON Pointer).
    """
    whole = {"": document}
    for operation in change:
        try:
            _apply(whole, operation)
        except (KeyError, IndexError, TypeError, ValueError) as fault:
            raise NotPatched(f"{operation}: {fault}") from fault
    return whole[""]


def _apply(whole: dict[str, Any], operation: Operation) -> None:
    kind = operation["op"]
    *way, last = _tokens(operation["path"])
    parent: Any = whole
    for token in way:
        at = _index(parent, token) if isinstance(parent, list) else token
        parent[at] = copy(parent[at])
        parent = parent[at]
    if kind == "add" and isinstance(parent, list):
        before = len(parent) if last == "-" else _index(parent, last, room=1)
        parent.insert(before, deepcopy(operation["value"]))
        return
    place = _index(parent, last) if isinstance(parent, list) else last
    if kind == "add":
        parent[place] = deepcopy(operation["value"])
        return
    old = parent[place]
    if kind == "remove":
        del parent[place]
    elif kind == "replace":
        parent[place] = deepcopy(operation["value"])
    elif kind != "test" or old != operation["value"]:
        raise ValueError(f"{kind} is not possible here")


def _tokens(path: str) -> list[str]:
    """Return the tokens of a pointer; the first, which is empty, is the whole document."""
    if path and not path.startswith("/"):
        raise ValueError("a path begins with /")
    return [token.replace("~1", "/").replace("~0", "~") for token in path.split("/")]


def _index(entries: list[Any], token: str, room: int = 0) -> int:
    if not token.isdecimal() or (token != "0" and token.startswith("0")):
        raise ValueError(f"{token} is no index")
    if int(token) >= len(entries) + room:
        raise IndexError(f"there is no entry {token}")
    return int(token)
