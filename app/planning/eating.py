"""May a copy be eaten, until when, and what is in it, as far as the day says."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.planning.day import Beat, Day, Stage
from app.planning.minutes import Clock
from app.planning.moments import use_minute
from app.planning.plan import Copy, Plan

StageKey = tuple[str, str]


@dataclass(frozen=True)
class Eating:
    """Whether a copy may be eaten; `until` is a minute, None where the day gives no limit."""

    is_safe: bool
    why: str
    until: int | None = None


@dataclass(frozen=True)
class Contained:
    """An allergen and the ingredients that bring it."""

    allergen: str
    ingredients: tuple[str, ...]


def eating(day: Day, plan: Plan, copy: Copy, now: int) -> Eating:
    """Return whether a copy may be eaten; what nobody said to be safe is not.

    Parameters
    ----------
    day, plan, copy
        A copy of the plan, and the day that the plan was worked out for.
    now
        The minute in which somebody asks: what went on camera before it is not for eating.
    """
    stage = day.stage(copy.demonstration, copy.stage)
    if not stage.ready_to_eat:
        return Eating(False, f"The stage “{stage.called}” is not said to be ready to eat.")
    if copy.id in touched(plan) or any(
        use_minute(day, *taker.use) < now for taker in copy.taken_by if taker.use
    ):
        return Eating(False, "It has been in front of the camera, or was made from what has been.")
    if stage.safety_min is None and stage.needs_temperature_control:
        return Eating(False, "It needs cold or heat to stay safe, and the day gives no time limit.")
    if stage.safety_min is None:
        return Eating(True, "The stage is ready to eat, and the day gives no time limit.")
    until = Clock(day.timezone).minute(copy.staged_at) + stage.safety_min
    return Eating(True, "The stage is ready to eat.", until)


def touched(plan: Plan) -> frozenset[str]:
    """Return the copies that come from the camera: left by a beat, or made from what was on it.

    Every copy of a batch counts as made from all inputs of the batch.
    """
    left = {copy.id for copy in plan.copies if copy.made_by.use}
    sources = left | {copy.id for copy in plan.copies if _is_shown(copy)}
    while True:
        made = {
            copy
            for batch in plan.batches
            if not sources.isdisjoint(batch.consumes)
            for copy in batch.copies
        }
        if made <= left:
            return frozenset(left)
        left |= made
        sources |= made


def contained(day: Day, demonstration: str, stage: str) -> list[Contained]:
    """Return the allergens of a stage and of all that may have gone into it, in order.

    Whichever way it is made and whichever beat leaves it: rather one too many than one too few.
    """
    found: dict[str, dict[str, None]] = {}
    for name, contains in _ingredients(day, (demonstration, stage), set()):
        for allergen in contains:
            found.setdefault(allergen, {})[name] = None
    return [Contained(allergen, tuple(found[allergen])) for allergen in sorted(found)]


def _is_shown(copy: Copy) -> bool:
    return any(taker.use is not None for taker in copy.taken_by)


def _ingredients(
    day: Day, key: StageKey, seen: set[StageKey]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    if key in seen:
        return
    seen.add(key)
    demonstration, stage = day.demonstration(key[0]), day.stage(*key)
    for each in stage.ingredients:
        yield each.name, each.contains
    for above in _inputs(key[0], stage):
        yield from _ingredients(day, above, seen)
    for beat in demonstration.beats:
        if _leaves_anew(beat, key[1]):
            for each in beat.ingredients:
                yield each.name, each.contains
            for need in beat.needs:
                yield from _ingredients(day, (key[0], need.stage), seen)


def _inputs(demonstration: str, stage: Stage) -> Iterator[StageKey]:
    sets = [stage.takes, *(way.takes for way in stage.ways if way.takes is not None)]
    for takes in sets:
        for each in takes:
            yield each.demonstration or demonstration, each.stage


def _leaves_anew(beat: Beat, stage: str) -> bool:
    return any(leaving.stage == stage for leaving in beat.leaves)
