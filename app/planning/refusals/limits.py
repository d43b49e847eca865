"""How much one day, and one plan, may hold."""

from typing import Any

from app.planning.refusals.fault import Found

MOST_OF = {"demonstrations": 200, "runs": 5000}
# A demonstration of a studio day says about 350 things, so this is several times two hundred of
# them with five thousand runs; more would be read for longer than anybody waits.
MOST_OF_A_DAY = 300_000
# The plan of twelve demonstrations says about 24 000 things, so this is one of four hundred.
MOST_OF_A_PLAN = 800_000


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


def crowd(document: dict[str, Any], most: int) -> list[Found]:
    """Find that a document says too much, though no list of it that has a limit is too long.

    Parameters
    ----------
    document
        What is to be read.
    most
        How many entries may stand in all its lists and objects together.
    """
    words = f"more than {most} entries stand in it; make several days of it"
    return [Found((), words)] if _holds_more(document, most) else []


def _holds_more(document: dict[str, Any], most: int) -> bool:
    entries = 0
    waiting: list[Any] = [document]
    while waiting:
        here = waiting.pop()
        entries += len(here)
        if entries > most:
            return True
        inner = here.values() if isinstance(here, dict) else here
        waiting += [each for each in inner if isinstance(each, dict | list | tuple)]
    return False


def _is_beyond(document: dict[str, Any], key: str) -> bool:
    told = document.get(key)
    return isinstance(told, list | tuple) and len(told) > MOST_OF[key]
