"""Other ways: one that the kitchen cannot run yet, or one that is quicker."""

from collections.abc import Iterator
from typing import Any

from app.planning.blockers.clash import Clash
from app.planning.canonical import document
from app.planning.dates import lasting
from app.planning.day import Stage, Way
from app.planning.ids import id_from
from app.planning.phrases import listed
from app.planning.remedies.offer import Change, DayFile, Offer, single
from app.planning.remedies.patch import Operation, added

Key = tuple[str, str]


def other_ways(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield for the steps of a clash the ways that are left out for want of something, then
    for each of its ways one that takes less time."""
    told = [fact.ids for fact in clash.facts if fact.kind == "way"]
    for key in dict.fromkeys((ids[0], ids[1]) for ids in told):
        stage = file.day.stage(*key)
        for way in stage.ways:
            missing = list(_missing(file, way))
            if missing:
                words = f"Make {file.wording.stage(*key)} ({way.called}): have "
                words += listed(what for what, _ in missing)
                yield single(words, *(operation for _, operation in missing))
    for demonstration, step, name in told:
        stage = file.day.stage(demonstration, step)
        way = next(each for each in stage.ways if each.id == name)
        yield from _quicker(file, (demonstration, step), stage, way)


def _missing(file: DayFile, way: Way) -> Iterator[tuple[str, Operation]]:
    """Yield the equipment and the skills that a way wants and nobody has."""
    kitchen = file.day.kitchen
    for kind, units in _units(way).items():
        if not any(item.kind == kind and item.units >= units for item in kitchen.equipment):
            new: dict[str, Any] = {"id": id_from(kind, file.equipment), "kind": kind}
            many = f" of {units} units" if units > 1 else ""
            place = file.with_equipment(new | {"units": units})
            yield f"a {kind}{many}", place
    skills = {phase.skill for phase in way.phases if phase.skill is not None}
    for skill in sorted(skills):
        if kitchen.crew and not any(skill in cook.skills for cook in kitchen.crew):
            cook = kitchen.crew[0]
            place = added(f"{file.crew[cook.id]}/skills", [*cook.skills, skill])
            yield f"{cook.called} do {skill}", place


def _units(way: Way) -> dict[str, int]:
    """Return how many units of each kind one copy takes at most."""
    found: dict[str, int] = {}
    for phase in way.phases:
        for entry in phase.equipment:
            found[entry.kind] = max(found.get(entry.kind, 0), entry.units(1))
    return found


def _quicker(file: DayFile, key: Key, stage: Stage, way: Way) -> Iterator[Offer]:
    """Yield ways like this one in which the longest phase takes less time."""
    longest = max(range(len(way.phases)), key=lambda i: way.phases[i].lasts_min)
    lasts_min = way.phases[longest].lasts_min
    names = {each.id for each in stage.ways}
    part = "its longest part " if len(way.phases) > 1 else ""

    def at(less_min: int) -> Change:
        new = document(way) | {"id": id_from(way.id, names)}
        new["name"] = f"{way.called}, {lasting(less_min)} quicker"
        new["phases"][longest]["lasts_min"] = lasts_min - less_min
        words = (
            f"Find a quicker way to {file.wording.stage(*key)} than {way.called}: "
            f"{lasting(less_min)} less, {part}{lasting(lasts_min - less_min)} in place of "
            f"{lasting(lasts_min)}"
        )
        return Change((added(f"{file.stage(*key)}/ways/-", new),), words)

    if lasts_min > 1:
        yield Offer(at, lasts_min - 1, grows=True)
