"""The minutes at which a way can start, as far as its equipment is open then."""

from collections.abc import Iterable

from app.planning.day import Equipment, Way
from app.planning.hours import ALWAYS, EVER, Spans, joined, meet, moved
from app.planning.minutes import Clock


def open_starts(
    clock: Clock, equipment: Iterable[Equipment], way: Way, copies: int, copies_max: int
) -> Spans:
    """Return when a batch can start so that each phase finds some item of each kind open.

    Phases after one whose length depends on the copies are left out, and lengths are the least:
    no start that is possible is missing.

    Parameters
    ----------
    clock
        That of the day.
    equipment
        All that the kitchen has.
    way
        A way of a stage.
    copies, copies_max
        How many copies are started at least and at most.
    """
    items = list(equipment)
    found, at = ALWAYS, 0
    for phase in way.phases:
        least = phase.length_min(copies)
        for entry in phase.equipment:
            taking = [
                item
                for item in items
                if item.kind == entry.kind and item.units >= entry.units(copies)
            ]
            if all(item.closed for item in taking):
                able = joined(span for item in taking for span in _open(clock, item, least))
                found = meet(found, moved(able, -at))
        if phase.length_min(copies_max) != least:
            break
        at += least
    return found


def _open(clock: Clock, item: Equipment, lasts_min: int) -> Iterable[tuple[int, int]]:
    """Yield when something of so many minutes can start in an item."""
    begin = -EVER
    for starts, ends in sorted((clock.minute(a), clock.minute(b)) for a, b in item.closed):
        if begin <= starts - lasts_min:
            yield begin, starts - lasts_min
        begin = max(begin, ends)
    yield begin, EVER
