"""More of what the kitchen has: units, items, open hours, shelf levels."""

from collections.abc import Iterator

from app.planning.blockers.clash import Clash
from app.planning.blockers.words import slots_in_words
from app.planning.canonical import document
from app.planning.day import Equipment, Shelf
from app.planning.ids import id_from, ids_from
from app.planning.phrases import listed
from app.planning.remedies.offer import Change, DayFile, Offer, having, just, single
from app.planning.remedies.patch import added, removed, replaced

MORE_UNITS = 4
MORE_LEVELS = 8


def more_units(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield for each item of a clash that it is larger, that there is one more, that it is open."""
    parts: dict[str, set[str]] = {}
    for fact in clash.facts:
        if fact.kind == "equipment":
            parts.setdefault(fact.ids[0], set()).add(fact.part)
    for item in file.day.kitchen.equipment:
        if "units" in parts.get(item.id, ()):
            yield _larger(file, item)
        if parts.get(item.id, set()) & {"units", "settings", "change"}:
            yield just(having(more_items(file, item, 1)))
        if "closed" in parts.get(item.id, ()):
            place = f"{file.equipment[item.id]}/closed"
            spans = listed(file.wording.between(span) for span in item.closed)
            yield single(f"Keep {item.called} open {spans}", removed(place))


def _larger(file: DayFile, item: Equipment) -> Offer:
    def at(more: int) -> Change:
        units = item.units + more
        words = f"Have {units} units in {item.called} instead of {item.units}"
        return Change((added(f"{file.equipment[item.id]}/units", units),), words)

    return Offer(at, MORE_UNITS, grows=True)


def more_items(file: DayFile, item: Equipment, count: int) -> Change:
    """Return the change that there are so many more items like one."""
    told = f"one more {item.kind}" if count == 1 else f"{count} more"
    ids = ids_from(item.id, file.equipment, count)
    operations = (file.with_equipment(_another(item, its_id)) for its_id in ids)
    return Change(tuple(operations), f"{told} like {item.called}")


def more_shelves(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield for each shelf unit of a clash that it is higher, and that there is one more."""
    for shelf in file.day.kitchen.shelves:
        if any(fact.kind == "shelf" and fact.ids == (shelf.id,) for fact in clash.facts):
            yield _higher(file, shelf)
            yield _one_more_unit(file, shelf)


def _higher(file: DayFile, shelf: Shelf) -> Offer:
    return Offer(lambda more: having(more_levels(file, shelf, more)), MORE_LEVELS, grows=True)


def more_levels(file: DayFile, shelf: Shelf, more: int) -> Change:
    """Return the change that a unit has more levels, as wide as the widest."""
    widest = max(shelf.levels)
    levels = [*shelf.levels, *(widest for _ in range(more))]
    told = "one more level" if more == 1 else f"{more} more levels"
    words = f"{told} in {shelf.called}: {slots_in_words(more * widest)} more"
    return Change((replaced(f"{file.shelves[shelf.id]}/levels", levels),), words)


def _one_more_unit(file: DayFile, shelf: Shelf) -> Offer:
    new = _another(shelf, id_from(shelf.id, file.shelves))
    slots = slots_in_words(sum(shelf.levels))
    words = f"Have one more shelf unit like {shelf.called}: {slots} more"
    return single(words, added("/kitchen/shelves/-", new))


def _another(thing: Equipment | Shelf, its_id: str) -> dict[str, object]:
    """Return a thing of the kitchen once more, as the day has it."""
    name = {} if thing.name is None else {"name": f"another {thing.name}"}
    return document(thing) | {"id": its_id} | name
