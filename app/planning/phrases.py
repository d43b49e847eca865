"""Several things as one phrase, on every screen, on paper and in what the planner says."""

from collections.abc import Iterable


def listed(things: Iterable[str]) -> str:
    """Return things as one phrase: *a, b and c*."""
    *some, last = ["", *things]
    return f"{', '.join(some[1:])} and {last}" if some[1:] else last
