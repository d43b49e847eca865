"""Where copies are fetched from and where they go, in words."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Copy, Plan
from app.planning.standing import STRAIGHT_ON, Destinations, place_in_words
from app.planning.tasks import tags_in_words


@dataclass(frozen=True)
class Fetch:
    """Copies of one stage that stand in one place; `place` and `bound_for` are words.

    `copies` are their ids, in the order of their tags.
    """

    stage_name: str
    tags: tuple[str, ...]
    place: str
    bound_for: str = ""
    copies: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """Return the tags as a cook says them."""
        return tags_in_words(self.tags)

    def lost_of(self, lost: Collection[str]) -> str:
        """Return the tags of those that are lost, as a cook says them."""
        return tags_in_words(
            tag for tag, copy in zip(self.tags, self.copies, strict=False) if copy in lost
        )


class Fetches:
    """Gathers the copies of a plan by stage and place; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.copies = {copy.id: copy for copy in plan.copies}
        self.destinations = Destinations(day, plan)

    def fetched(self, copies: Iterable[str], minute: int) -> tuple[Fetch, ...]:
        """Return where copies stand until a minute, gathered by stage and place."""
        return self.gathered(
            (self.copies[copy], self._place_until(self.copies[copy], minute), "") for copy in copies
        )

    def put_down(self, copies: Iterable[str]) -> tuple[Fetch, ...]:
        """Return where copies go once staged, and what for."""
        return self.gathered(
            (copy, self._first_place(copy), self.destinations.of(copy))
            for copy in (self.copies[each] for each in copies)
        )

    def _place_until(self, copy: Copy, minute: int) -> str:
        past = [place for place in copy.places if self.clock.minute(place.from_) <= minute]
        if past:
            last = past[-1]
            return place_in_words(self.day, last.shelf, last.level, last.slot)
        return self._unplaced(copy)

    def _first_place(self, copy: Copy) -> str:
        if copy.places and copy.places[0].from_ == copy.staged_at:
            first = copy.places[0]
            return place_in_words(self.day, first.shelf, first.level, first.slot)
        unplaced = self._unplaced(copy)
        return "straight on" if unplaced == STRAIGHT_ON else unplaced

    def _unplaced(self, copy: Copy) -> str:
        """Return words for a copy without a shelf: handed on, or in a zone that has no shelf."""
        zone = self.day.stage(copy.demonstration, copy.stage).zone
        has_shelf = any(shelf.zone == zone for shelf in self.day.kitchen.shelves)
        return STRAIGHT_ON if has_shelf else f"{zone} (no shelf named)"

    def gathered(self, found: Iterable[tuple[Copy, str, str]]) -> tuple[Fetch, ...]:
        """Return copies, each with its place and what it is for, gathered by all three."""
        together: dict[tuple[str, str, str, str], list[Copy]] = {}
        for copy, place, bound_for in found:
            key = (copy.demonstration, copy.stage, place, bound_for)
            together.setdefault(key, []).append(copy)
        return tuple(
            Fetch(
                self.day.stage(of, stage).called,
                tuple(copy.tag for copy in copies),
                place,
                bound_for,
                tuple(copy.id for copy in copies),
            )
            for (of, stage, place, bound_for), copies in together.items()
        )
