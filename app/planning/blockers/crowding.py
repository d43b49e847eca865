"""Copies that must stand in a zone at one minute, whatever the plan, counted against its slots.

A copy that is made stands in the zone while the last phases of its way take room there, and from
then on until it is due. So at any minute that is no longer before it is due than those phases last,
it takes its room, whichever batch it comes from.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from app.planning.needs import Use
from app.planning.scope import Making, Method, Scope


@dataclass(frozen=True)
class _Stand:
    """The minutes at which the copies of a use must stand in a zone; `ends` is no more in it."""

    use: Use
    zone: str
    begins: int
    ends: int


class Crowding:
    """The zones of a day, and what must stand in them.

    Parameters
    ----------
    scope
        The day.
    """

    def __init__(self, scope: Scope) -> None:
        self.scope = scope
        self.room = Counter[str]()
        for shelf in scope.day.kitchen.shelves:
            self.room[shelf.zone] += sum(shelf.levels)
        stands_min = {key: _stands_min(making) for key, making in scope.makings.items()}
        self._stands: dict[str, list[_Stand]] = {zone: [] for zone in sorted(self.room)}
        for use in scope.needs.uses:
            zone = scope.makings[use.stage].stage.zone
            if zone in self.room and stands_min[use.stage]:
                begins = use.due - stands_min[use.stage]
                self._stands[zone].append(_Stand(use, zone, begins, use.due))

    def is_any(self) -> bool:
        """Tell whether more must stand in a zone at one minute than fits."""
        return any(slots > self.room[zone] for zone, _, slots in self._counted())

    def most(self) -> tuple[str, int, Fraction, int] | None:
        """Return the zone that is crowded most, the minute, its slots asked for and there.

        None if none is crowded at any minute.
        """
        crowds = [
            (zone, minute, slots, self.room[zone])
            for zone, minute, slots in self._counted()
            if slots > self.room[zone]
        ]
        return max(crowds, key=lambda crowd: crowd[2] - crowd[3], default=None)

    def _counted(self) -> Iterator[tuple[str, int, Fraction]]:
        """Yield for each zone and minute how many slots what must stand there takes."""
        for zone, stands in self._stands.items():
            for minute in _minutes(stands):
                yield zone, minute, self._slots(_at(minute, stands), minute)

    def around(self, use: Use, others: Sequence[Use]) -> tuple[str, list[Use]] | None:
        """Return a zone and the fewest uses that crowd it, one of them given; None if none do.

        Parameters
        ----------
        others
            Those that may be named beside it, those last that should be if there is a choice.
        """
        found: list[tuple[str, list[Use]]] = []
        place = {each.index: i for i, each in enumerate(others) if each != use}
        for zone, stands in self._stands.items():
            there = [stand for stand in stands if stand.use.index in place]
            there.sort(key=lambda stand: place[stand.use.index])
            for mine in (stand for stand in stands if stand.use == use):
                for minute in _minutes([mine, *there]):
                    if mine.begins <= minute < mine.ends:
                        uses = self._fewest(mine, _at(minute, there), minute)
                        found += [(zone, uses)] if uses else []
        return min(found, key=lambda crowd: len(crowd[1]), default=None)

    def _fewest(self, mine: _Stand, there: list[_Stand], minute: int) -> list[Use]:
        """Return as few uses as crowd a minute; none, if they do without the first."""
        room = self.room[mine.zone]
        if self._slots([mine, *there], minute) <= room:
            return []
        kept = there
        for stand in there:
            fewer = [each for each in kept if each is not stand]
            if self._slots([mine, *fewer], minute) > room:
                kept = fewer
        if self._slots(kept, minute) > room:
            return []
        return [stand.use for stand in (mine, *kept)]

    def _slots(self, here: list[_Stand], minute: int) -> Fraction:
        """Return how many slots the copies of some uses take at a minute, at least."""
        slots = Fraction(0)
        for key in dict.fromkeys(stand.use.stage for stand in here):
            uses = [stand.use for stand in here if stand.use.stage == key]
            copies = sum(use.count for use in uses) - self._on_set(uses, minute)
            slots += max(0, copies) * _slots_of(self.scope.makings[key])
        return slots

    def _on_set(self, uses: list[Use], minute: int) -> int:
        """Return how many of the copies that uses of a stage take need not stand at a minute.

        They serve another use before, come from a beat, or are delivered, all later, and still in
        time for one of the uses; or stay on set.
        """
        key, runs, last = uses[0].stage, {use.run for use in uses}, max(use.start for use in uses)
        until, needs = max(use.due for use in uses), self.scope.needs
        before = [
            (use.hands_back, use.back, use.run)
            for use in needs.uses
            if use.stage == key and use.start < last
        ]
        before += [(left.count, left.back, left.run) for left in needs.left if left.stage == key]
        supplied = sum(each.count for each in self.scope.supplies if each.stage == key)
        return supplied + sum(
            count for count, back, run in before if minute < back <= until or run in runs
        )


def is_crowded(scope: Scope) -> bool:
    """Tell whether more must stand in a zone at one minute than fits."""
    return bool(scope.day.kitchen.shelves) and Crowding(scope).is_any()


def _at(minute: int, stands: Iterable[_Stand]) -> list[_Stand]:
    return [stand for stand in stands if stand.begins <= minute < stand.ends]


def _minutes(stands: Iterable[_Stand]) -> Iterator[int]:
    """Yield the minutes just before some copies are due: at one of them most must stand."""
    yield from sorted({stand.ends - 1 for stand in stands})


def _slots_of(making: Making) -> Fraction:
    return Fraction(making.stage.slots or 1, making.stage.copies_per_slot or 1)


def _stands_min(making: Making) -> int:
    """Return how long copies of a stage stand in its zone at least before they wait."""
    zone = making.stage.zone
    return min((_last_phases_min(method, zone) for method in making.methods), default=0)


def _last_phases_min(method: Method, zone: str) -> int:
    lasts_min = 0
    for phase in reversed(method.way.phases):
        if phase.zone != zone:
            break
        lasts_min += phase.length_min(method.started[1])
    return lasts_min
