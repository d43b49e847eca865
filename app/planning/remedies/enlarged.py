"""A kitchen with more of several things at once: cooks, items, levels of shelves."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from app.planning.day import Equipment, Shelf, Span
from app.planning.ids import id_from
from app.planning.phrases import listed
from app.planning.plan import Plan
from app.planning.remedies.crew import skills_asked
from app.planning.remedies.kitchen import another, more_levels
from app.planning.remedies.offer import Change, DayFile
from app.planning.remedies.patch import Operation, added


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
        self.skills = sorted(skills_asked(file.day))
        self.hours = tuple(_hours(file, file.clock.text(until)))

    def parts(self) -> list[Part]:
        """Return all that this kitchen has and could have more of."""
        crew = [Part("crew")] if self.kitchen.crew else []
        items = [Part("equipment", item.kind) for item in self.kitchen.equipment]
        shelves = [Part("shelf", shelf.zone) for shelf in self.kitchen.shelves]
        return [*dict.fromkeys([*crew, *items, *shelves])]

    def change(self, more: More, hours: Iterable[Span] | None = None) -> Change:
        """Return the change to a kitchen with so much more.

        Parameters
        ----------
        more
            How many more of each part.
        hours
            When the cooks work; None: on every day, from when the first may come until all is over.
        """
        operations: list[Operation] = []
        words: list[str] = []
        for part, count in more.items():
            if part.kind == "crew" and count:
                shifts = [list(span) for span in hours or self.hours]
                operations += self._cooks(count, shifts)
                words.append(self._cooks_in_words(count, hours or self.hours))
            elif part.kind == "equipment" and count:
                item = self._item(part.name)
                operations += self._items(item, count)
                told = f"one more {item.kind}" if count == 1 else f"{count} more"
                words.append(f"{told} like {item.called}")
            elif count:
                higher = more_levels(self.file, self._shelf(part.name), count)
                operations += higher.operations
                words.append(higher.words)
        return Change(tuple(operations), f"Have {'; '.join(words)}")

    def hours_worked(self, count: int, plan: Plan) -> list[Span]:
        """Return from when to when some of so many more cooks work in a plan, day by day."""
        new = set(self._ids(Part("crew"), count))
        worked: dict[str, list[str]] = {}
        for batch in plan.batches:
            for phase in batch.phases:
                if new.intersection(phase.crew):
                    worked.setdefault(phase.starts[:10], []).extend((phase.starts, phase.ends))
        return [(min(times), max(times)) for _, times in sorted(worked.items())]

    def _ids(self, part: Part, count: int) -> Iterator[str]:
        """Yield the ids of so many more cooks or items."""
        stem, taken = (
            ("one more", set(self.file.crew))
            if part.kind == "crew"
            else (self._item(part.name).id, set(self.file.equipment))
        )
        for _ in range(count):
            found = id_from(stem, taken)
            taken.add(found)
            yield found

    def _cooks(self, count: int, shifts: list[list[str]]) -> Iterator[Operation]:
        for its_id in self._ids(Part("crew"), count):
            new = {"id": its_id, "name": "one more cook", "shifts": shifts, "skills": self.skills}
            yield added("/kitchen/crew/-", new)

    def _cooks_in_words(self, count: int, hours: Iterable[Span]) -> str:
        told = "one more cook" if count == 1 else f"{count} more cooks"
        able = f" ({', '.join(self.skills)})" if self.skills else ""
        return f"{told}{able}, {listed(self.file.wording.between(span) for span in hours)}"

    def _items(self, item: Equipment, count: int) -> Iterator[Operation]:
        always_open = item.model_copy(update={"closed": ()})
        for its_id in self._ids(Part("equipment", item.kind), count):
            yield self.file.with_equipment(another(always_open, its_id))

    def _item(self, kind: str) -> Equipment:
        """Return the largest item of a kind."""
        items = [item for item in self.kitchen.equipment if item.kind == kind]
        return max(items, key=lambda item: item.units)

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
