"""The minutes at which a way can start, as far as its equipment is open then."""

from collections.abc import Iterable

from app.planning.day import Equipment, Phase, Way
from app.planning.hours import ALWAYS, EVER, Spans, joined, meet, starts_where
from app.planning.minutes import Clock


def open_starts(
    clock: Clock, equipment: Iterable[Equipment], way: Way, copies: int, copies_max: int
) -> Spans:
    """Return when a batch can start so that each phase finds some item of each kind open.

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

    def able(phase: Phase, lasts_min: int) -> Spans:
        found = ALWAYS
        for entry in phase.equipment:
            taking = [
                item
                for item in items
                if item.kind == entry.kind and item.units >= entry.units(copies)
            ]
            if all(item.closed for item in taking):
                spans = (span for item in taking for span in _open(clock, item, lasts_min))
                found = meet(found, joined(spans))
        return found

    return starts_where(way, copies, copies_max, able)


def _open(clock: Clock, item: Equipment, lasts_min: int) -> Iterable[tuple[int, int]]:
    """Yield when something of so many minutes can start in an item."""
    begin = -EVER
    for starts, ends in sorted((clock.minute(a), clock.minute(b)) for a, b in item.closed):
        if begin <= starts - lasts_min:
            yield begin, starts - lasts_min
        begin = max(begin, ends)
    yield begin, EVER
