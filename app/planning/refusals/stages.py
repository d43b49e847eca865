"""Stages that no copy can reach, and copies that no shelf can hold."""

from collections.abc import Callable, Iterator

from app.planning.refusals.fault import Found, Path, listed, shown
from app.planning.refusals.outline import Demonstration, Outline, Stage, own, slots_of, taken_by

MOST_NAMED = 3


def out_of_nowhere(day: Outline) -> Iterator[Found]:
    """Find stages that something takes though no way, no stock and no beat gives a copy."""
    takers, given = _takers(day), _given(day)
    for demonstration, stage in day.all_stages:
        bare = stage.path in takers and stage.value("ways") in ([], ())
        if bare and not given(demonstration, stage):
            who = listed(takers[stage.path][:MOST_NAMED], "and")
            yield Found(
                stage.at("ways"),
                f"{shown(stage.text('id'))} is taken by {who} and has no way, no stock and no beat"
                " that leaves it; add one of these",
            )


def two_sizes(day: Outline) -> Iterator[Found]:
    """Find stages that give both slots and copies_per_slot."""
    for _, stage in day.all_stages:
        if stage.given("slots") and stage.given("copies_per_slot"):
            slots, copies = shown(stage.raw["slots"]), shown(stage.raw["copies_per_slot"])
            words = f"{slots} stands beside copies_per_slot {copies}; keep one of the two"
            yield Found(stage.at("slots"), words)


def too_wide(day: Outline) -> Iterator[Found]:
    """Find copies of more slots than any level of their zone, where the zone has shelves."""
    for _, stage in day.all_stages:
        zone, slots = stage.value("zone"), slots_of(stage)
        if zone in day.widest and slots is not None and slots > day.widest[zone]:
            words = f"{slots} in a row are wanted and the widest {zone} level has"
            mend = "write that many at most, or widen a level"
            yield Found(stage.at("slots"), f"{words} {day.widest[zone]}; {mend}")


def _takers(day: Outline) -> dict[Path, list[str]]:
    """Return for each stage what takes it: ways and beats, by their ids."""
    takers: dict[Path, list[str]] = {}
    for demonstration, stage, way in day.all_ways:
        for entry in taken_by(stage, way):
            source = day.source(demonstration, entry)
            if source is not None:
                name = f"{own(demonstration, stage)}/{way.text('id') or '?'}"
                takers.setdefault(source.path, []).append(name)
    for demonstration, beat in day.all_beats:
        for entry in beat.parts("needs"):
            source = day.source(demonstration, entry)
            if source is not None:
                takers.setdefault(source.path, []).append(own(demonstration, beat))
    return takers


def _given(day: Outline) -> Callable[[Demonstration, Stage], bool]:
    """Return whether stock or a beat gives copies of a stage, or may: a fault can hide it."""
    stocked = {
        (entry.text("demonstration"), entry.text("stage")) for entry in day.root.parts("stock")
    }
    is_stock_known = day.root.is_whole("stock")
    left = {each.path: _left(each) for each in day.demonstrations}

    def given(demonstration: Demonstration, stage: Stage) -> bool:
        ident, leavings = stage.text("id"), left[demonstration.path]
        in_stock = (demonstration.text("id"), ident) in stocked
        return not is_stock_known or in_stock or leavings is None or ident in leavings

    return given


def _left(demonstration: Demonstration) -> set[str | None] | None:
    """Return the stages that beats leave; None where a fault hides some of them."""
    beats = demonstration.parts("beats")
    if not demonstration.is_whole("beats") or not all(beat.is_whole("leaves") for beat in beats):
        return None
    return {leaving.text("stage") for beat in beats for leaving in beat.parts("leaves")}


RULES = (out_of_nowhere, two_sizes, too_wide)
