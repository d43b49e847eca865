"""What becomes of each copy: a line per tag, its stages one after the other."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from app.planning.day import Day
from app.planning.minutes import MINUTE_S, Clock
from app.planning.moments import beat_second
from app.planning.plan import Batch, Copy, Plan, Role

BeatOfRun = tuple[str, str]


@dataclass(frozen=True)
class Airing:
    """One beat of one run, in seconds of UTC."""

    run: str
    beat: str
    starts_s: int
    ends_s: int


@dataclass(frozen=True)
class Leg:
    """A copy at one stage: from when to when it waits, what made it, what takes it."""

    stage: str
    begins_s: int
    ends_s: int
    role: Role
    made_by: str
    worked_from_s: int | None
    taken_by: str
    on_set: tuple[Airing, ...] = ()
    backs: tuple[Airing, ...] = ()
    touched: bool = False


@dataclass(frozen=True)
class Line:
    """Copies with the same fate, told by their tags."""

    legs: tuple[Leg, ...]
    tags: tuple[str, ...] = field(compare=False)


@dataclass(frozen=True)
class Fates:
    """All lines of one demonstration, and its beats in air order."""

    airings: tuple[Airing, ...]
    lines: tuple[Line, ...]


def fates(day: Day, plan: Plan, demonstration: str) -> Fates:
    """Return what becomes of the copies of one demonstration; equal fates share a line."""
    return _Reader(day, plan, demonstration).fates()


def airings(day: Day, demonstration: str) -> tuple[Airing, ...]:
    """Return the beats of every run of a demonstration in air order."""
    found = []
    for run in day.runs:
        if run.demonstration == demonstration:
            for beat in day.beats_of(run):
                starts_s = beat_second(day, run, beat.id)
                found.append(Airing(run.id, beat.id, starts_s, starts_s + beat.lasts_s))
    return tuple(sorted(found, key=lambda each: (each.starts_s, each.ends_s, each.run)))


class _Reader:
    def __init__(self, day: Day, plan: Plan, demonstration: str) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.demonstration = demonstration
        self.copies = {copy.id: copy for copy in plan.copies}
        self.batches = {batch.id: batch for batch in plan.batches}
        self.airings = airings(day, demonstration)
        self.at = {(each.run, each.beat): each for each in self.airings}
        self.backs: defaultdict[str, list[Airing]] = defaultdict(list)
        for use in plan.uses:
            for copy in use.backups:
                if (use.run, use.beat) in self.at:
                    self.backs[copy].append(self.at[use.run, use.beat])
        self._touched: dict[str, bool] = {}

    def fates(self) -> Fates:
        by_tag: defaultdict[str, list[Copy]] = defaultdict(list)
        for copy in self.copies.values():
            if copy.demonstration == self.demonstration:
                by_tag[copy.tag].append(copy)
        together: defaultdict[tuple[Leg, ...], list[str]] = defaultdict(list)
        for tag in sorted(by_tag, key=_number):
            legs = sorted((self._leg(copy) for copy in by_tag[tag]), key=lambda leg: leg.begins_s)
            together[tuple(legs)].append(tag)
        return Fates(self.airings, tuple(Line(legs, tuple(t)) for legs, t in together.items()))

    def _leg(self, copy: Copy) -> Leg:
        begins_s, worked_from_s, made_by = self._origin(copy)
        on_set = tuple(self.at[each.use] for each in copy.taken_by if each.use in self.at)
        backs = tuple(sorted(self.backs[copy.id], key=lambda each: each.starts_s))
        last = copy.taken_by[-1] if copy.taken_by else None
        ends = [begins_s, *(each.starts_s for each in on_set), *(each.ends_s for each in backs)]
        if last is not None and last.batch is not None:
            ends.append(self._second(self.batches[last.batch].starts))
        return Leg(
            stage=copy.stage,
            begins_s=begins_s,
            ends_s=max(ends),
            role=copy.role,
            made_by=made_by,
            worked_from_s=worked_from_s,
            taken_by=last.batch if last is not None and last.batch else "",
            on_set=on_set,
            backs=backs,
            touched=self.is_touched(copy.id),
        )

    def _origin(self, copy: Copy) -> tuple[int, int | None, str]:
        """Return when the copy begins to wait, since when it was worked on, and by what."""
        by = copy.made_by
        if by.use is not None and by.use in self.at:
            return self.at[by.use].ends_s, None, f"{by.use[0]} {by.use[1]}"
        staged_s = self._second(copy.staged_at)
        if by.batch is not None:
            return staged_s, self._second(self.batches[by.batch].starts), by.batch
        return staged_s, None, f"stock {by.stock}" if by.stock else ""

    def is_touched(self, copy: str) -> bool:
        """Return whether a copy, or what it was made from, has been in front of camera."""
        if copy not in self._touched:
            self._touched[copy] = False
            by = self.copies[copy].made_by
            from_ = self.batches[by.batch].consumes if by.batch is not None else ()
            self._touched[copy] = by.use is not None or any(
                self.is_touched(each) or self._was_shown(each) for each in from_
            )
        return self._touched[copy]

    def _was_shown(self, copy: str) -> bool:
        return any(taker.use is not None for taker in self.copies[copy].taken_by)

    def _second(self, text: str) -> int:
        return self.clock.minute(text) * MINUTE_S


def _number(tag: str) -> tuple[str, int]:
    code, _, number = tag.rpartition("-")
    return (code, int(number)) if number.isdigit() else (tag, 0)


def joined(batches: tuple[Batch, ...], lines: tuple[Line, ...]) -> Iterator[tuple[str, set[int]]]:
    """Yield each batch with the numbers of the lines that go into it or come out of it."""
    inputs: defaultdict[str, set[int]] = defaultdict(set)
    for number, line in enumerate(lines):
        for leg in line.legs:
            if leg.taken_by:
                inputs[leg.taken_by].add(number)
            if leg.worked_from_s is not None:
                inputs[leg.made_by].add(number)
    for batch in batches:
        if len(inputs[batch.id]) > 1:
            yield batch.id, inputs[batch.id]
