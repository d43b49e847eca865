"""Which copy stands where, from when to when, and what it waits for."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.planning.day import Day, Stage
from app.planning.minutes import Clock
from app.planning.moments import use_minute
from app.planning.plan import Batch, Copy, Plan, Standing, Taker
from app.planning.tasks import tags_in_words

STRAIGHT_ON = "straight from the step before"


@dataclass(frozen=True)
class Stay:
    """Copies of one stage in one place, from minute to minute.

    `wide` is how many slots side by side each copy takes, `slot` the first of them; `bound_for`
    says in words what the copies wait for; while a phase is under way it names the phase's end.
    """

    shelf: str
    level: int
    slot: int
    wide: int
    starts: int
    ends: int
    demonstration: str
    stage: str
    stage_name: str
    copies: tuple[str, ...]
    tags: tuple[str, ...]
    bound_for: str
    is_working: bool = False

    @property
    def label(self) -> str:
        """Return the tags as a cook says them."""
        return tags_in_words(self.tags)


def stays(day: Day, plan: Plan) -> list[Stay]:
    """Return every wait of the plan, in order of place and time.

    Copies of one stage that come to one slot and leave it at the same minutes are one wait.
    """
    reader = _Reader(day, plan)
    found = [*reader.waits(), *reader.phases()]
    return sorted(found, key=lambda stay: (stay.shelf, stay.level, stay.slot, stay.starts))


def standing_at(waits: Iterable[Stay], minute: int) -> list[Stay]:
    """Return what stands on the shelves at a minute; what leaves at that minute is gone."""
    return [stay for stay in waits if stay.starts <= minute < stay.ends]


def place_in_words(day: Day, shelf: str, level: int, slot: int) -> str:
    """Return a place as a cook says it: `Rack 1, level 2, slot 3`."""
    names = {each.id: each.called for each in day.kitchen.shelves}
    return f"{names.get(shelf, shelf)}, level {level}, slot {slot}"


class Destinations:
    """What each copy of a plan is for, in words."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.batches = {batch.id: batch for batch in plan.batches}
        self.backs: dict[str, list[tuple[str, str]]] = {}
        for use in plan.uses:
            for copy in use.backups:
                self.backs.setdefault(copy, []).append((use.run, use.beat))

    def of(self, copy: Copy, after: int | None = None) -> str:
        """Return what the copy goes to next, after a minute (default: from its staging on)."""
        since = self.clock.minute(copy.staged_at) if after is None else after
        for taker in copy.taken_by:
            minute, words = self._taker(taker)
            if minute >= since:
                return f"for {words} {self._hour(minute, since)}"
        backed = [(use_minute(self.day, *use), use) for use in self.backs.get(copy.id, [])]
        for minute, use in sorted(backed):
            if minute >= since:
                return f"backup for {self._use(*use)} {self._hour(minute, since)}"
        return "extra for losses" if copy.role == "spare" else ""

    def all_of(self, copy: Copy) -> list[str]:
        """Return all that the copy is for: what takes it, then what it backs."""
        since = self.clock.minute(copy.staged_at)
        takers = [self._taker(taker) for taker in copy.taken_by]
        taken = [f"for {words} {self._hour(minute, since)}" for minute, words in takers]
        backs = [(use_minute(self.day, *use), use) for use in self.backs.get(copy.id, [])]
        backed = [f"backup for {self._use(*use)} {self._hour(at, since)}" for at, use in backs]
        spare = ["extra for losses"] if copy.role == "spare" else []
        return taken + backed + spare

    def _hour(self, minute: int, since: int) -> str:
        """Return the hour, with its day where the copy waits from another one."""
        return self.clock.hour_seen_from(minute, self.clock.date(since))

    def _taker(self, taker: Taker) -> tuple[int, str]:
        if taker.use is not None:
            return use_minute(self.day, *taker.use), self._use(*taker.use)
        batch = self.batches[str(taker.batch)]
        stage = self.day.stage(batch.demonstration, batch.stage).called
        return self.clock.minute(batch.starts), stage

    def _use(self, run: str, beat: str) -> str:
        passed = self.day.run(run)
        named = self.day.demonstration(passed.demonstration).beat(beat).called
        return f"{passed.called}, {named}"


class _Reader:
    """Reads the waits out of one plan."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.plan, self.clock = day, plan, Clock(day.timezone)
        self.destinations = Destinations(day, plan)
        self.tags = {copy.id: copy.tag for copy in plan.copies}

    def waits(self) -> Iterator[Stay]:
        together: dict[tuple[object, ...], list[Copy]] = {}
        where: dict[tuple[object, ...], Standing] = {}
        for copy in self.plan.copies:
            for place in copy.places:
                key: tuple[object, ...] = (copy.demonstration, copy.stage, place)
                together.setdefault(key, []).append(copy)
                where[key] = place
        for key, copies in together.items():
            first, place = copies[0], where[key]
            since = self.clock.minute(place.from_)
            bound = sorted({self.destinations.of(copy, since) for copy in copies} - {""})
            yield self._stay(
                place, first.demonstration, first.stage, [c.id for c in copies], "; ".join(bound)
            )

    def phases(self) -> Iterator[Stay]:
        for batch in self.plan.batches:
            for phase in batch.phases:
                begins, ends = self.clock.minute(phase.starts), self.clock.minute(phase.ends)
                until = f"until {self.clock.hour_seen_from(ends, self.clock.date(begins))}"
                for place, copies in _dealt(batch, phase.places or ()):
                    yield self._stay(
                        place, batch.demonstration, batch.stage, copies, until, is_working=True
                    )

    def _stay(
        self,
        place: Standing,
        demonstration: str,
        stage: str,
        copies: list[str],
        bound_for: str,
        is_working: bool = False,
    ) -> Stay:
        made = self.day.stage(demonstration, stage)
        return Stay(
            shelf=place.shelf,
            level=place.level,
            slot=place.slot,
            wide=_wide(made),
            starts=self.clock.minute(place.from_),
            ends=self.clock.minute(place.to),
            demonstration=demonstration,
            stage=stage,
            stage_name=made.called,
            copies=tuple(copies),
            tags=tuple(self.tags.get(copy, copy) for copy in copies),
            bound_for=bound_for,
            is_working=is_working,
        )


def _wide(stage: Stage) -> int:
    return stage.slots or 1


def _dealt(batch: Batch, places: tuple[Standing, ...]) -> Iterator[tuple[Standing, list[str]]]:
    """Yield each place of a phase with the copies that stand there, dealt out in order."""
    left = list(batch.copies)
    for place in places:
        number = place.copies or 1
        yield place, left[:number]
        left = left[number:]
