"""Ways that can never run in this kitchen: too few hands, no such skill, no such equipment."""

from collections.abc import Iterator

from app.planning.refusals.fault import Found, shown
from app.planning.refusals.outline import Outline, Way, own
from app.planning.refusals.sketch import Sketch


def no_way_left(day: Outline) -> Iterator[Found]:
    """Find stages none of whose ways can ever run."""
    for _, stage in day.all_stages():
        ways = stage.parts("ways")
        if not ways or not stage.is_whole("ways"):
            continue
        whys = [(way, why_never(day, way)) for way in ways]
        if all(why for _, why in whys):
            told = "; ".join(f"{shown(way.text('id'))} {why}" for way, why in whys)
            words = f"no way of {shown(stage.text('id'))} can ever run here: {told}"
            yield Found(stage.at("ways"), f"{words}; add to the kitchen, or write another way")


def ways_left_out(day: Outline) -> Iterator[str]:
    """Say which ways can never run where another one is left."""
    for demonstration, stage in day.all_stages():
        for way in stage.parts("ways"):
            why = why_never(day, way)
            if why:
                name = shown(way.value("name") or way.text("id"))
                yield f"{own(demonstration, stage)}: the way {name} {why}, so it is left out."


def why_never(day: Outline, way: Way) -> str | None:
    """Return why a way can never run, as the rest of a sentence; None if it may."""
    if not way.is_whole("phases"):
        return None
    for phase in way.parts("phases"):
        why = _too_few_hands(day, phase) or _no_skill(day, phase)
        if why:
            return why
    for kind, units in _units_at_once(way):
        why = _no_item(day, kind, units)
        if why:
            return why
    return None


def _too_few_hands(day: Outline, phase: Sketch) -> str | None:
    crew, hands = day.furniture("crew"), phase.value("hands")
    if crew is None or hands is None or hands <= len(crew):
        return None
    return f"takes the hands of {hands} and the crew is {len(crew) or 'nobody'}"


def _no_skill(day: Outline, phase: Sketch) -> str | None:
    crew, skill = day.furniture("crew"), phase.value("skill")
    if crew is None or skill is None or not all(cook.is_whole("skills") for cook in crew):
        return None
    if any(skill in cook.value("skills") for cook in crew):
        return None
    return f"needs the skill {shown(skill)}, which nobody has"


def _units_at_once(way: Way) -> list[tuple[str, int]]:
    """Return for one copy the units of one item that each row of phases takes, kind by kind."""
    most: dict[str, int] = {}
    for phase in way.parts("phases"):
        for use in phase.parts("equipment"):
            each, kind = use.value("per_batch"), use.value("kind")
            if each is not None and kind is not None:
                units = each + (1 if use.given("copies_per_unit") else 0)
                most[kind] = max(most.get(kind, 0), units)
    return list(most.items())


def _no_item(day: Outline, kind: str, units: int) -> str | None:
    equipment = day.furniture("equipment")
    if equipment is None or any(each.value("kind") is None for each in equipment):
        return None
    items = [each.value("units") for each in equipment if each.value("kind") == kind]
    if not items:
        return f"needs equipment of the kind {shown(kind)}, and there is none"
    if None in items or max(items) >= units:
        return None
    return f"takes {units} units of one {shown(kind)}, and the largest has {max(items)}"


RULES = (no_way_left,)
