"""A day placed anew with an eye on the shelves that were too full."""

from collections.abc import Collection
from dataclasses import replace

from app.planning.bettering import Bettering
from app.planning.descent import Answer
from app.planning.joining import Family, Joining
from app.planning.model.build import Wanted
from app.planning.model.goals import LACKS
from app.planning.placing import NOBODY, Placing
from app.planning.proving import COPY_GOALS
from app.planning.rationing import ration

AGAIN_WORK = 7.0
GRACE = 0.15


def placed_again(day: Joining, wanted: Wanted) -> Joining:
    """Return the day placed anew under further rules; what was proven without them holds.

    On a long day as many families as can stay as they are. Where not all can be had, run after run
    is served.
    """
    day.watch.grant(GRACE)
    new = _anew(day, wanted)
    if not day.is_long:
        return new if new.mend(day.best, [NOBODY]) else _rationed(new, day.best)
    moving = crowding(day, wanted.shelves)
    new.placed = [each for each in day.families if each not in moving]
    new.take(day.of(frozenset().union(*new.placed)))
    new.alone = {family: day.part(family) for family in day.families}
    if wanted.strict_shelves or _is_hopeless(day, moving):
        new.wanted = replace(new.wanted, strict_shelves=True)
        ration(new, moving)
    else:
        Placing(new).place_all(moving)
    new.alone = day.alone
    return new


def _anew(day: Joining, wanted: Wanted) -> Joining:
    """Return the day with nothing placed, to be planned under some rules."""
    new = Joining(day.scope, wanted, day.goals, day.watch, day.families, max(AGAIN_WORK, day.work))
    new.alone, new.floors, new.is_long = day.alone, day.floors, day.is_long
    new.may_lack = day.may_lack
    return new


def _rationed(day: Joining, old: Answer) -> Joining:
    """Return a short day with run after run served, or with all that can be had beside that."""
    plain = _anew(day, day.wanted)
    ration(day, day.families)
    if not day.best.figures[LACKS]:
        day.wanted = plain.wanted
        return day
    if plain.mend(old, [*day.alone, *day.pairs()]):
        return plain
    if plain.is_refuted:
        plain.take(Placing(plain).raise_floor(frozenset().union(*day.alone)))
        plain.placed = list(day.families)
        day.floors = plain.floors
    else:
        Placing(plain).place_all(day.families)
    has_more = plain.best.values and plain.best.rank(COPY_GOALS) < day.best.rank(COPY_GOALS)
    return plain if has_more else day


def _is_hopeless(day: Joining, moving: Collection[Family]) -> bool:
    """Tell whether so many crowd the others that not all can be had, or something lacks anyway."""
    return bool(day.best.figures[LACKS]) or 2 * len(moving) > len(day.families)


def joined_again(day: Joining, wanted: Wanted) -> Joining:
    """Return the day placed anew under further rules; a short one made better."""
    new = placed_again(day, wanted)
    if not day.is_long:
        Bettering(new).improve()
    if wanted.strict_shelves:
        new.floors = day.floors
    return new


def crowding(day: Joining, zones: Collection[str]) -> list[Family]:
    """Return a few families without which all others have their places in some zones."""
    staying, moving = list(day.placed), list[Family]()
    while staying and (not moving or day.full_zones(staying)):
        moving.append(max(staying, key=lambda family: day.slot_min(family, zones)))
        staying.remove(moving[-1])
    return moving
