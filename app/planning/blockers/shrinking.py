"""From some things that cannot hold together to fewer, of which none can be spared."""

from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")
Clash = Callable[[Sequence[T]], bool]


def smallest(things: Sequence[T], clash: Clash[T]) -> list[T]:
    """Return some of the things that clash, so that without any one of them they do not.

    Parameters
    ----------
    things
        Things that clash together; those that should stay if there is a choice come first.
    clash
        Tells whether some of them are known to clash: more of them then do as well.

    Source
    ------
    U. Junker, QuickXplain (AAAI 2004), from memory.
    """
    return _spared([], False, list(things), clash)


def _spared(kept: list[T], grown: bool, things: list[T], clash: Clash[T]) -> list[T]:
    """Return the things that are needed beside those that are kept anyway."""
    if grown and clash(kept):
        return []
    if len(things) <= 1:
        return things
    half = len(things) // 2
    first, second = things[:half], things[half:]
    of_second = _spared(kept + first, True, second, clash)
    of_first = _spared(kept + of_second, bool(of_second), first, clash)
    return of_first + of_second
