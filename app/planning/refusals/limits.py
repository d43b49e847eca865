"""How much one day may hold."""

from typing import Any

from app.planning.refusals.fault import Found

MOST_OF = {"demonstrations": 200, "runs": 5000}


def beyond(document: dict[str, Any]) -> list[Found]:
    """Find lists of a day that are too long."""
    return [
        Found((key,), f"{len(document[key])} of them; {most} at most, so make several days")
        for key, most in MOST_OF.items()
        if _is_beyond(document, key)
    ]


def within(document: dict[str, Any]) -> dict[str, Any]:
    """Return a day whose lists are cut to their limits, so that reading it ends in time."""
    cut = {key: document[key][:most] for key, most in MOST_OF.items() if _is_beyond(document, key)}
    return {**document, **cut}


def _is_beyond(document: dict[str, Any], key: str) -> bool:
    told = document.get(key)
    return isinstance(told, list | tuple) and len(told) > MOST_OF[key]
