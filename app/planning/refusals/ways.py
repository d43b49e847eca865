"""Ways that can never run in this kitchen: too few hands, no such skill, no such equipment."""

from collections.abc import Iterator

from app.planning.day import Policy
from app.planning.refusals.fault import Found, shown
from app.planning.refusals.outline import Outline, Stage, Way, own, slots_of
from app.planning.refusals.sketch import Sketch

TIE = 1e-9


def no_way_left(day: Outline) -> Iterator[Found]:
    """Find stages none of whose ways can ever run."""
    for _, stage in day.all_stages:
        ways = stage.parts("ways")
        if not ways or not stage.is_whole("ways"):
            continue
        whys = [(way, why_never(day, way)) for way in ways]
        if all(why for _, why in whys):
            told = "; ".join(f"{shown(way.text('id'))} {why}" for way, why in whys)
            words = f"no way of {shown(stage.text('id'))} can ever run here: {told}"
            yield Found(stage.at("ways"), f"{words}; add to the kitchen, or write another way")


def ways_left_out(day: Outline) -> Iterator[str]:
    """Say which ways can never run, where another is left or only room and spares are lacking."""
    for demonstration, stage in day.all_stages:
        for way in stage.parts("ways"):
            why = why_never(day, way) or _too_narrow(day, stage, way) or _no_spare(day, stage, way)
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
    hands = phase.value("hands")
    if day.hands is None or hands is None or hands <= day.hands:
        return None
    return f"takes the hands of {hands} and the crew is {day.hands or 'nobody'}"


def _no_skill(day: Outline, phase: Sketch) -> str | None:
    skill = phase.value("skill")
    if day.skills is None or skill is None or skill in day.skills:
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
    if day.units is None:
        return None
    items = day.units.get(kind, [])
    if not items:
        return f"needs equipment of the kind {shown(kind)}, and there is none"
    known = [each for each in items if each is not None]
    if len(known) < len(items) or max(known) >= units:
        return None
    return f"takes {units} units of one {shown(kind)}, and the largest has {max(known)}"


def _too_narrow(day: Outline, stage: Stage, way: Way) -> str | None:
    """Return why a copy has no room during the way, though there may be some when it waits."""
    slots = slots_of(stage)
    for phase in way.parts("phases"):
        zone = phase.value("zone")
        if slots is not None and zone in day.widest and slots > day.widest[zone]:
            return f"takes {slots} slots in a row, and the widest {zone} level has less"
    return None


def _no_spare(day: Outline, stage: Stage, way: Way) -> str | None:
    """Return why no batch of the way can hold one good copy and the spares that it takes."""
    loss = (way if way.given("loss") else stage).value("loss")
    policy = day.root.part("policy")
    confidence = policy.value("confidence") if policy else Policy().confidence
    most = way.value("batch_max")
    if not loss or (most > 1 and 1 - loss**most >= confidence - TIE):
        return None
    return f"has a batch_max of {most}, too few for one copy and its spares"


RULES = (no_way_left,)
