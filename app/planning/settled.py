"""Where things stand already when a plan is mended, and where they were to stand."""

from collections.abc import Collection, Iterator

from app.planning.draft import Draft, Item, Made
from app.planning.frozen import Shelved
from app.planning.happened import Spot
from app.planning.kept import Kept
from app.planning.places import Place, Stay, is_free, place, stays_of
from app.planning.plan import Plan, Standing
from app.planning.scope import Scope


class Settled:
    """The stays of a mended plan, placed.

    Parameters
    ----------
    scope, draft
        The whole day and its whole draft.
    plan, kept
        The published plan, and what stays of it.

    `full` are the zones for which no placing was found.
    """

    def __init__(self, scope: Scope, draft: Draft, plan: Plan, kept: Kept) -> None:
        self.scope, self.kept, self.now = scope, kept, kept.state.now
        self.shelves = {shelf.id: shelf for shelf in scope.day.kitchen.shelves}
        self.copies = {copy.id: copy for copy in plan.copies}
        self.batches = {batch.id: batch for batch in plan.batches}
        found = [stay for stay in stays_of(scope, draft) if stay.phase is None]
        self.stays = [each for stay in found for each in self._settled(stay)]
        self.stays += [stay for made in draft.made for stay in self._phases(made)]
        self._place_what_stands()
        self._let_spares_make_way()
        self.full = place(scope, self.stays)
        if self.full:
            self._throw_away_spares()
            self.full = place(scope, self.stays)

    def _settled(self, stay: Stay) -> Iterator[Stay]:
        """Yield what stands already copy by copy, where it stands; the rest with its wish."""
        if stay.starts > self.now:
            first, starts, ends = stay.items[0]
            told = self._planned(first.id, starts)
            if told is not None:
                stay.wish = self._place((told.shelf, told.level, told.slot))
                stay.firm = self._is_as_long(told, starts, ends)
            yield stay
            return
        for item, starts, ends in stay.items:
            known = self.kept.state.copies.get(item.id)
            if known is not None and known.state == "lost":
                ends = min(ends, self.now)
            single = Stay(stay.zone, stay.stage, starts, ends, stay.slots, [(item, starts, ends)])
            single.fixed = True
            single.place = self._place(self._spot(item.id, starts, ends))
            yield single

    def _spot(self, copy: str, starts: int, ends: int) -> Spot | None:
        known = self.kept.state.copies.get(copy)
        if known is not None and known.put is not None and starts <= known.put[0] < ends:
            return known.put[1]
        if known is not None and known.spot is not None and starts <= self.now < ends:
            return known.spot
        told = self._planned(copy, starts)
        return (told.shelf, told.level, told.slot) if told is not None else None

    def _planned(self, copy: str, starts: int) -> Standing | None:
        """Return where a copy was to stand from about a minute on."""
        places = self.copies[copy].places if copy in self.copies else ()
        minute = self.kept.clock.minute
        return min(places, key=lambda each: abs(minute(each.from_) - starts), default=None)

    def _is_as_long(self, told: Standing, starts: int, ends: int) -> bool:
        minute = self.kept.clock.minute
        return (minute(told.from_), minute(told.to)) == (starts, ends)

    def _place(self, spot: Spot | None) -> Place | None:
        if spot is None or spot[0] not in self.shelves:
            return None
        return self.shelves[spot[0]], spot[1], spot[2]

    def _phases(self, made: Made) -> Iterator[Stay]:
        """Yield the stays of a batch's phases; what has begun is where it was to be."""
        own = stays_of(self.scope, Draft([made], [], {}, {}))
        batch = self.batches.get(made.id)
        for index in range(len(made.work)):
            stays = [stay for stay in own if stay.phase is not None and stay.phase[1] == index]
            places = (batch.phases[index].places or ()) if batch is not None else ()
            for stay, where in zip(stays, places, strict=False):
                stay.wish = self._place((where.shelf, where.level, where.slot))
                stay.firm = self._is_as_long(where, stay.starts, stay.ends)
            for stay in stays:
                stay.fixed = made.id in self.kept.state.begun and stay.starts <= self.now
                stay.place = stay.wish if stay.fixed else None
            yield from stays

    def _place_what_stands(self) -> None:
        """Give what stands somewhere, nobody knows where, a place that is free, if there is one."""
        known = [stay for stay in self.stays if stay.fixed and stay.place is not None]
        for stay in self.stays:
            if stay.fixed and stay.place is None:
                spots = self._wide_enough(stay)
                free = (spot for spot in spots if is_free(stay, spot, known))
                stay.place = next(free, spots[0])
                known.append(stay)

    def _wide_enough(self, stay: Stay) -> list[Place]:
        return [
            (shelf, level, slot)
            for shelf in self.scope.day.kitchen.shelves
            if shelf.zone == stay.zone
            for level, width in enumerate(shelf.levels, 1)
            for slot in range(1, width - stay.slots + 2)
        ]

    def _let_spares_make_way(self) -> None:
        """Let what serves nothing any more stand no longer than until its slot is wanted."""
        firm = [stay for stay in self.stays if stay.firm and not stay.fixed]
        for stay in self.stays:
            if stay.fixed and self._is_idle(stay):
                in_the_way = (
                    each.starts
                    for each in firm
                    if each.wish and each.zone == stay.zone and not is_free(each, each.wish, [stay])
                )
                self._end(stay, min(in_the_way, default=stay.ends))

    def _throw_away_spares(self) -> None:
        """Let what serves nothing stand no longer than until now."""
        left: list[Stay] = []
        for stay in self.stays:
            is_idle = self._is_idle(stay)
            if is_idle and stay.zone in self.full:
                self._end(stay, self.now)
            if not is_idle or stay.starts < stay.ends:
                left.append(stay)
        self.stays = left

    def _is_idle(self, stay: Stay) -> bool:
        """Tell whether all that stands there is made already, or on its way, and serves nothing."""
        return bool(stay.items) and all(
            item.spare and item.id in self.kept.items and self._is_there(item)
            for item, _, _ in stay.items
        )

    def _is_there(self, item: Item) -> bool:
        return item.batch is None or item.batch.id in self.kept.state.begun

    def _end(self, stay: Stay, ends: int) -> None:
        stay.ends = max(stay.starts, min(stay.ends, ends))
        stay.items = [(item, starts, stay.ends) for item, starts, _ in stay.items]

    def waiting_in(self, zones: Collection[str]) -> set[str]:
        """Return the demonstrations of which something is still to come to some zones."""
        return {_owner(stay) for stay in self.stays if stay.zone in zones and stay.ends > self.now}

    def room(self, zone: str, slots: int, free: Collection[str]) -> Shelved:
        """Return what stands in a zone whatever is planned for the free demonstrations.

        Parameters
        ----------
        zone, slots
            The zone, and how many slots are to be left free.
        free
            The demonstrations that are planned anew.
        """
        standing = tuple(
            (max(stay.starts, self.now), stay.ends, stay.slots)
            for stay in self.stays
            if stay.zone == zone and stay.ends > self.now and self._stays(stay, free)
        )
        return Shelved(zone, slots, standing)

    def _stays(self, stay: Stay, free: Collection[str]) -> bool:
        if stay.phase is not None:
            made = stay.phase[0]
            return made.id in self.kept.state.begun or made.stage[0] not in free
        return _owner(stay) not in free


def _owner(stay: Stay) -> str:
    """Return the demonstration whose copies stand somewhere."""
    return stay.items[0][0].stage[0] if stay.phase is None else stay.phase[0].stage[0]
