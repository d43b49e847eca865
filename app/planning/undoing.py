"""Which events stand: those that were not taken back."""

from collections.abc import Iterable
from typing import TypeVar

from app.planning.events import Event, Undone

E = TypeVar("E", bound=Event)


def standing(events: Iterable[E]) -> list[E]:
    """Return the events that were not taken back, in their order.

    Parameters
    ----------
    events
        Events in the order of their numbers. An undo can be taken back as well.
    """
    void: set[int] = set()
    kept: list[E] = []
    for event in reversed(list(events)):
        if event.n in void:
            continue
        kept.append(event)
        if isinstance(event, Undone) and event.undoes is not None:
            void.add(event.undoes)
    return kept[::-1]
