"""Copies that must stand in a zone at one minute, whatever the plan, counted against its slots.

A copy that is made stands in the zone while the last phases of its way take room there, and from
then on until it is due. So at any minute that is no longer before it is due than those phases last,
it takes its room, whichever batch it comes from.
"""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from app.planning.needs import StageKey, Use
from app.planning.scope import Making, Method, Scope


def crowds(scope: Scope, counts: Callable[[Use], bool] = lambda _: True) -> Iterator[list[Use]]:
    """Yield uses of which more must stand in a zone at one minute than fits: of one stage, then of
    one demonstration, then of any.

    Parameters
    ----------
    scope
        A day.
    counts
        Which uses are to be counted: each time, those that are told by then count no more.
    """
    kinds: tuple[Callable[[Use], object], ...] = (_stage, _demonstration, _any)
    for kind in kinds:
        alike: dict[object, list[Use]] = {}
        for use in scope.needs.uses:
            alike.setdefault(kind(use), []).append(use)
        for uses in alike.values():
            last: list[Use] = []
            while (crowd := _crowd(scope, [use for use in uses if counts(use)])) not in ([], last):
                yield crowd
                last = crowd


def is_crowded(scope: Scope) -> bool:
    """Tell whether more must stand in a zone at one minute than fits."""
    return bool(_crowd(scope, scope.needs.uses))


def _crowd(scope: Scope, some: Sequence[Use]) -> list[Use]:
    """Return those of some uses that crowd a zone at its first such minute; or none."""
    for zone in sorted({shelf.zone for shelf in scope.day.kitchen.shelves}):
        room = sum(sum(shelf.levels) for shelf in scope.day.kitchen.shelves if shelf.zone == zone)
        stands_min = dict(_stands_min(scope, zone))
        uses = [use for use in some if use.stage in stands_min]
        for minute in sorted({use.due - 1 for use in uses}):
            here = [use for use in uses if use.due - stands_min[use.stage] <= minute < use.due]
            if _slots(scope, here, minute) > room:
                return here
    return []


def _stage(use: Use) -> StageKey:
    return use.stage


def _demonstration(use: Use) -> str:
    return use.stage[0]


def _any(_: Use) -> None:
    return None


def _stands_min(scope: Scope, zone: str) -> Iterator[tuple[StageKey, int]]:
    """Yield for each stage of a zone how long its copies stand there at least before they wait."""
    for key, making in scope.makings.items():
        if making.stage.zone == zone and making.methods:
            yield key, min(_last_phases_min(method, zone) for method in making.methods)


def _last_phases_min(method: Method, zone: str) -> int:
    lasts_min = 0
    for phase in reversed(method.way.phases):
        if phase.zone != zone:
            break
        lasts_min += phase.length_min(method.started[1])
    return lasts_min


def _slots(scope: Scope, here: list[Use], minute: int) -> Fraction:
    """Return how many slots the copies of some uses take at a minute, at least."""
    slots = Fraction(0)
    for key in dict.fromkeys(use.stage for use in here):
        uses = [use for use in here if use.stage == key]
        copies = sum(use.count for use in uses) - _on_set(scope, uses, minute)
        slots += max(0, copies) * _slots_of(scope.makings[key])
    return slots


def _slots_of(making: Making) -> Fraction:
    return Fraction(making.stage.slots or 1, making.stage.copies_per_slot or 1)


def _on_set(scope: Scope, uses: list[Use], minute: int) -> int:
    """Return how many of the copies that some uses of a stage take need not stand at a minute.

    They serve another use before, come from a beat, or are delivered, all later, and still in time
    for one of the uses; or stay on set.
    """
    key, runs, last = uses[0].stage, {use.run for use in uses}, max(use.start for use in uses)
    until = max(use.due for use in uses)
    before = [
        (use.hands_back, use.back, use.run)
        for use in scope.needs.uses
        if use.stage == key and use.start < last
    ]
    before += [(left.count, left.back, left.run) for left in scope.needs.left if left.stage == key]
    supplied = sum(each.count for each in scope.supplies if each.stage == key)
    return supplied + sum(
        count for count, back, run in before if minute < back <= until or run in runs
    )
