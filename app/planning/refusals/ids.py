"""Ids that stand twice among things of one kind."""

from collections.abc import Iterator

from app.planning.refusals.fault import Found, place, shown
from app.planning.refusals.outline import Outline
from app.planning.refusals.sketch import Sketch


def twice_in_the_day(day: Outline) -> Iterator[Found]:
    """Find two stock entries, demonstrations or runs of one id."""
    for key in ("stock", "demonstrations", "runs"):
        yield from _twice(day.root.parts(key))


def twice_in_the_kitchen(day: Outline) -> Iterator[Found]:
    """Find two items, two of the crew or two shelf units of one id."""
    for key in ("equipment", "crew", "shelves"):
        yield from _twice(day.kitchen.parts(key))


def twice_in_a_demonstration(day: Outline) -> Iterator[Found]:
    """Find two stages or two beats of one id in a demonstration."""
    for demonstration in day.demonstrations:
        yield from _twice(demonstration.parts("stages"))
        yield from _twice(demonstration.parts("beats"))


def twice_in_a_stage(day: Outline) -> Iterator[Found]:
    """Find two ways of one id in a stage."""
    for _, stage in day.all_stages:
        yield from _twice(stage.parts("ways"))


def _twice(parts: list[Sketch]) -> Iterator[Found]:
    first: dict[str, Sketch] = {}
    for part in parts:
        ident = part.text("id")
        if ident is None:
            continue
        if ident in first:
            holder = place(first[ident].path)
            yield Found(part.at("id"), f"{shown(ident)} is the id of {holder} too; choose another")
        first.setdefault(ident, part)


RULES = (twice_in_the_day, twice_in_the_kitchen, twice_in_a_demonstration, twice_in_a_stage)
