"""A kitchen with more of several things at once: cooks, items, levels of shelves."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from app.planning.day import Equipment, Shelf, Span
from app.planning.phrases import listed
from app.planning.plan import Plan
from app.planning.remedies.crew import more_cooks
from app.planning.remedies.kitchen import more_items, more_levels
from app.planning.remedies.offer import Change, DayFile, having


@dataclass(frozen=True, order=True)
class Part:
    """What a kitchen can have more of: cooks, items of a kind, levels in a zone."""

    kind: Literal["crew", "equipment", "shelf"]
    name: str = ""


More = Mapping[Part, int]


class Enlarging:
    """Enlarges the kitchen of a day.

    Parameters
    ----------
    file
        The day.
    until
        The minute of its last need.
    """

    def __init__(self, file: DayFile, until: int) -> None:
        self.file, self.kitchen = file, file.day.kitchen
        self.hours = tuple(_hours(file, file.clock.text(until)))

    def parts(self) -> list[Part]:
        """Return all that this kitchen has and could have more of."""
        crew = [Part("crew")] if self.kitchen.crew else []
        items = [Part("equipment", item.kind) for item in self.kitchen.equipment]
        shelves = [Part("shelf", shelf.zone) for shelf in self.kitchen.shelves]
        return [*dict.fromkeys([*crew, *items, *shelves])]

    def change(self, more: More, hours: Collection[Span] = ()) -> Change:
        """Return the change to a kitchen with so much more.

        Parameters
        ----------
        more
            How many more of each part.
        hours
            When the cooks work, if not on every day from when the first may come until all is over.
        """
        each = [self._of(part, count, hours) for part, count in more.items() if count]
        operations = tuple(operation for one in each for operation in one.operations)
        return having(Change(operations, "; ".join(one.words for one in each)))

    def _of(self, part: Part, count: int, hours: Collection[Span]) -> Change:
        if part.kind == "crew":
            return more_cooks(self.file, count, hours or self.hours)
        if part.kind == "equipment":
            return more_items(self.file, self._item(part.name), count)
        return more_levels(self.file, self._shelf(part.name), count)

    def hours_worked(self, plan: Plan) -> list[Span]:
        """Return from when to when the cooks that came work in a plan, day by day."""
        worked: dict[str, list[str]] = {}
        for batch in plan.batches:
            for phase in batch.phases:
                if not self.file.crew.keys() >= set(phase.crew):
                    worked.setdefault(phase.starts[:10], []).extend((phase.starts, phase.ends))
        return [(min(times), max(times)) for _, times in sorted(worked.items())]

    def _item(self, kind: str) -> Equipment:
        """Return the largest item of a kind, open at all hours."""
        items = [item for item in self.kitchen.equipment if item.kind == kind]
        return max(items, key=lambda item: item.units).model_copy(update={"closed": ()})

    def _shelf(self, zone: str) -> Shelf:
        """Return the shelf unit of a zone that has most slots."""
        shelves = [shelf for shelf in self.kitchen.shelves if shelf.zone == zone]
        return max(shelves, key=lambda shelf: sum(shelf.levels))


def _hours(file: DayFile, until: str) -> Iterator[Span]:
    """Yield for each day up to the last need from when anybody comes until the last one goes."""
    spans = [span for cook in file.day.kitchen.crew for span in cook.shifts]
    at, last = date.fromisoformat(file.day.prep_from[:10]), date.fromisoformat(until[:10])
    opens = min((start[11:16] for start, _ in spans), default="00:00")
    closes = max((end[11:16] for _, end in spans), default="00:00")
    while at <= last:
        following = at + timedelta(days=1)
        if any(start[:10] != end[:10] for start, end in spans):
            yield f"{at}T00:00", f"{following}T00:00"
        else:
            yield f"{at}T{opens}", f"{at}T{max(closes, until[11:16])}"
        at = following


def things(parts: Iterable[Part]) -> Iterator[str]:
    """Yield what parts are of: *hands*, *oven*, *shelves in chill and frozen*."""
    zones = []
    for part in parts:
        if part.kind == "shelf":
            zones.append(part.name)
        else:
            yield part.name or "hands"
    if zones:
        yield f"shelves in {listed(zones)}"
