"""Stages that no copy can reach, and copies that no shelf can hold."""

from collections.abc import Iterator

from app.planning.refusals.fault import Found, Path, listed, shown
from app.planning.refusals.outline import Outline, Stage, own, taken_by

MOST_NAMED = 3


def out_of_nowhere(day: Outline) -> Iterator[Found]:
    """Find stages that something takes though no way, no stock and no beat gives a copy."""
    takers = _takers(day)
    for demonstration, stage in day.all_stages():
        if stage.path not in takers or stage.value("ways") not in ([], ()):
            continue
        if _is_in_stock(day, demonstration.text("id"), stage) or _is_left(demonstration, stage):
            continue
        who = listed(takers[stage.path][:MOST_NAMED], "and")
        yield Found(
            stage.at("ways"),
            f"{shown(stage.text('id'))} is taken by {who} and has no way, no stock and no beat"
            " that leaves it; add one of these",
        )


def two_sizes(day: Outline) -> Iterator[Found]:
    """Find stages that give both slots and copies_per_slot."""
    for _, stage in day.all_stages():
        if stage.given("slots") and stage.given("copies_per_slot"):
            slots, copies = shown(stage.raw["slots"]), shown(stage.raw["copies_per_slot"])
            words = f"{slots} stands beside copies_per_slot {copies}; keep one of the two"
            yield Found(stage.at("slots"), words)


def too_wide(day: Outline) -> Iterator[Found]:
    """Find copies of more slots than any level of their zone, where the zone has shelves."""
    shelves = day.furniture("shelves") or []
    if not all(shelf.is_whole("levels") and shelf.value("zone") for shelf in shelves):
        return
    widest: dict[str, int] = {}
    for shelf in shelves:
        levels = shelf.value("levels")
        widest[shelf.value("zone")] = max([widest.get(shelf.value("zone"), 0), *levels])
    for _, stage in day.all_stages():
        zone, slots = stage.value("zone"), _slots(stage)
        if zone in widest and slots is not None and slots > widest[zone]:
            words = f"{slots} in a row are wanted and the widest {zone} level has {widest[zone]}"
            yield Found(stage.at("slots"), f"{words}; write that many at most, or widen a level")


def _slots(stage: Stage) -> int | None:
    """Return the slots that a copy takes side by side; None where that is not known."""
    if not stage.given("slots"):
        return 1
    slots = stage.value("slots")
    return slots if isinstance(slots, int) else None


def _takers(day: Outline) -> dict[Path, list[str]]:
    """Return for each stage what takes it: ways and beats, by their ids."""
    takers: dict[Path, list[str]] = {}
    for demonstration, stage, way in day.all_ways():
        for entry in taken_by(stage, way):
            source = day.source(demonstration, entry)
            if source is not None:
                name = f"{own(demonstration, stage)}/{way.text('id') or '?'}"
                takers.setdefault(source.path, []).append(name)
    for demonstration, beat in day.all_beats():
        for entry in beat.parts("needs"):
            source = day.source(demonstration, entry)
            if source is not None:
                takers.setdefault(source.path, []).append(own(demonstration, beat))
    return takers


def _is_in_stock(day: Outline, home: str | None, stage: Stage) -> bool:
    """Tell whether copies are in stock, or may be: a fault can hide it."""
    if not day.root.is_whole("stock"):
        return True
    wanted = (home, stage.text("id"))
    stock = day.root.parts("stock")
    return any((each.text("demonstration"), each.text("stage")) == wanted for each in stock)


def _is_left(demonstration: Stage, stage: Stage) -> bool:
    """Tell whether a beat leaves copies, or may: a fault can hide it."""
    if not demonstration.is_whole("beats"):
        return True
    for beat in demonstration.parts("beats"):
        if not beat.is_whole("leaves"):
            return True
        if any(each.text("stage") == stage.text("id") for each in beat.parts("leaves")):
            return True
    return False


RULES = (out_of_nowhere, two_sizes, too_wide)
