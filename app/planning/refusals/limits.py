"""How much one day may hold."""

from typing import Any

from app.planning.refusals.fault import Found

MOST_OF = {"demonstrations": 200, "runs": 5000}
# A demonstration of a studio day says about 350 things, so this is several times two hundred of
# them with five thousand runs; more would be read for longer than anybody waits.
MOST_ENTRIES = 300_000
CROWDED = f"more than {MOST_ENTRIES} entries stand in it; make several days of it"


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


def crowded(document: dict[str, Any]) -> bool:
    """Tell whether a day says too much, though no list of it that has a limit is too long."""
    entries = 0
    waiting: list[Any] = [document]
    while waiting:
        here = waiting.pop()
        entries += len(here)
        if entries > MOST_ENTRIES:
            return True
        inner = here.values() if isinstance(here, dict) else here
        waiting += [each for each in inner if isinstance(each, dict | list | tuple)]
    return False


def _is_beyond(document: dict[str, Any], key: str) -> bool:
    told = document.get(key)
    return isinstance(told, list | tuple) and len(told) > MOST_OF[key]
