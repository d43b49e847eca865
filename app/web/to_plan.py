"""What is still missing before a production can be planned for the first time, screen by screen."""

from dataclasses import dataclass

from app.planning.day import Day, Way
from app.web.page import TEMPLATE_SET
from app.web.words import listed

MOST_NAMED = 3
NOBODY = "nobody at work"


@dataclass(frozen=True)
class Step:
    """One step on the way to a plan: its screen, and what is missing there; nothing if it is done.

    `address` lies below that of the production.
    """

    name: str
    address: str
    missing: str

    @property
    def is_done(self) -> bool:
        """Return whether nothing is missing."""
        return not self.missing


def steps_to_plan(day: Day) -> list[Step]:
    """Return the steps in the order in which people take them."""
    shown = next((each for each in day.demonstrations if _lacks(day, each.id)), None)
    shown = shown or next(iter(day.demonstrations), None)
    address = f"demonstrations/{shown.id}" if shown else "demonstrations"
    missing = _named(day, shown.title, _lacks(day, shown.id)) if shown else ""
    if not day.demonstrations:
        missing = "what is shown, and in which stages"
    return [
        Step("Demonstrations", address, missing),
        Step("Kitchen", "kitchen", _kitchen_lacks(day)),
        Step("Rundown", "rundown", "" if day.runs else "no run yet: when it is shown"),
    ]


def _named(day: Day, title: str, lacks: str) -> str:
    """Return what a demonstration lacks with its title, where there are others."""
    is_clear = not lacks or len(day.demonstrations) == 1 or lacks.startswith(title)
    return lacks if is_clear else f"{title}: {lacks}"


def _lacks(day: Day, demonstration: str) -> str:
    """Return what a demonstration lacks before anything of it can be made and shown."""
    shown = day.demonstration(demonstration)
    if not shown.stages:
        return f"{shown.title} has no stages yet"
    left = {leaving.stage for beat in shown.beats for leaving in beat.leaves}
    stocked = {entry.stage for entry in day.stock if entry.demonstration == shown.id}
    comes = left | stocked
    bare = [stage.called for stage in shown.stages if not stage.ways and stage.id not in comes]
    if bare:
        return f"no way yet to get {_some(bare)}"
    idle = [
        stage.called
        for stage in shown.stages
        if any(not way.phases or not way.length_min(1) for way in stage.ways)
    ]
    if idle:
        return f"how long it takes to get {_some(idle)}"
    is_shared = any(
        entry.demonstration == shown.id
        for home in day.demonstrations
        for stage in home.stages
        for takes in (stage.takes, *(way.takes or () for way in stage.ways))
        for entry in takes
    )
    if not shown.beats and not is_shared:
        return f"{shown.title} has no beats yet"
    if shown.beats and not any(beat.needs for beat in shown.beats):
        return "no beat needs a copy yet"
    return ""


def _some(names: list[str]) -> str:
    """Return up to three names, and how many more there are."""
    more = [f"{len(names) - MOST_NAMED} more"] if len(names) > MOST_NAMED else []
    return listed([*names[:MOST_NAMED], *more])


def _kitchen_lacks(day: Day) -> str:
    """Return what the ways ask for and the kitchen lacks: people at work, kinds of equipment.

    A way that cannot be gone keeps nobody from planning where another leads to the stage.
    """
    stages = [stage.ways for shown in day.demonstrations for stage in shown.stages if stage.ways]
    if not day.kitchen.crew and not day.kitchen.equipment and not stages:
        return "who preps, and in what"
    wanted = [[_lacking(day, way) for way in ways] for ways in stages]
    lacks = set().union(*(lacks for ways in wanted if all(ways) for lacks in ways))
    kinds = sorted(lacks - {NOBODY})
    more = [f"{len(kinds) - MOST_NAMED} more"] if len(kinds) > MOST_NAMED else []
    nobody = [NOBODY] if NOBODY in lacks else []
    return listed([*nobody, *kinds[:MOST_NAMED], *more])


def _lacking(day: Day, way: Way) -> set[str]:
    """Return what a way asks for that is not there."""
    there = {item.kind for item in day.kitchen.equipment}
    kinds = {use.kind for phase in way.phases for use in phase.equipment}
    is_done_by_hand = any(phase.hands for phase in way.phases)
    has_shifts = any(cook.shifts for cook in day.kitchen.crew)
    nobody = {NOBODY} if is_done_by_hand and not has_shifts else set()
    return {f"no {kind}" for kind in kinds - there} | nobody


TEMPLATE_SET.globals["steps_to_plan"] = steps_to_plan
