"""Tools, tins and equipment that plans need, with the most in use at once."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.moments import left_minute, use_minute
from app.planning.plan import Batch, Copy, Plan

Kind = Literal["equipment", "container", "tool", "dressing"]
KINDS: tuple[Kind, ...] = ("equipment", "container", "tool", "dressing")
SAME = "the same "


@dataclass(frozen=True)
class Gear:
    """One thing to have or hire: the most in use at once, from when, for which demonstrations.

    Of equipment, `most` are units (trays, bowls, burners) and `there` is how many the kitchen has.
    """

    kind: Kind
    name: str
    most: int
    at: int
    used_for: tuple[str, ...]
    there: int | None = None


@dataclass(frozen=True)
class _Held:
    """So many of a thing from one minute to another, the last not included."""

    kind: Kind
    name: str
    starts: int
    ends: int
    count: int
    used_for: str


def gear(plans: Iterable[tuple[Day, Plan]]) -> list[Gear]:
    """Return what plans need beside ingredients, by kind and name.

    A container is held from the start of its batch until the last taker is through with its
    copies; tools from the start of a batch until hands have left it, one of each a batch; what a
    beat uses until it is back. The same words mean the same thing; what follows a comma in the
    words for a container says how it is used.
    """
    plans = list(plans)
    held = [each for day, plan in plans for each in _Reader(day, plan).held()]
    there: dict[str, int] = {}
    for day in {id(day): day for day, _ in plans}.values():
        for item in day.kitchen.equipment:
            there[item.kind] = there.get(item.kind, 0) + item.units
    things: dict[tuple[Kind, str], list[_Held]] = {}
    for each in held:
        things.setdefault((each.kind, each.name.lower()), []).append(each)
    found = [_most(some, there) for some in things.values()]
    return sorted(found, key=lambda each: (KINDS.index(each.kind), each.name.lower()))


class _Reader:
    """Reads out of one plan what is held when."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.plan, self.clock = day, plan, Clock(day.timezone)
        self.batches = {batch.id: batch for batch in plan.batches}
        self.copies = {copy.id: copy for copy in plan.copies}
        self.last = max(
            [self.clock.minute(batch.ends) for batch in plan.batches]
            + [left_minute(day, use.run, use.beat) for use in plan.uses],
            default=0,
        )

    def held(self) -> Iterator[_Held]:
        """Yield everything that is held."""
        for batch in self.plan.batches:
            yield from self._equipment(batch)
            yield from self._containers(batch)
            yield from self._tools(batch)
        yield from self._on_set()

    def _called(self, batch: Batch) -> str:
        return self.day.demonstration(batch.demonstration).title

    def _equipment(self, batch: Batch) -> Iterator[_Held]:
        kinds = {item.id: item.kind for item in self.day.kitchen.equipment}
        for phase in batch.phases:
            starts, ends = self.clock.minute(phase.starts), self.clock.minute(phase.ends)
            for item in phase.equipment:
                kind = kinds[item.id]
                yield _Held("equipment", kind, starts, ends, item.units, self._called(batch))

    def _containers(self, batch: Batch) -> Iterator[_Held]:
        stage = self.day.stage(batch.demonstration, batch.stage)
        if not stage.container:
            return
        name = stage.container.removeprefix(SAME).partition(",")[0]
        until = sorted(self._until(self.copies[copy]) for copy in batch.copies)
        each = stage.copies_per_slot or 1
        starts = self.clock.minute(batch.starts)
        for first in range(0, len(until), each):
            ends = until[first : first + each][-1]
            yield _Held("container", name, starts, ends, 1, self._called(batch))

    def _until(self, copy: Copy) -> int:
        """Return the minute from which a copy no longer stands in its container."""
        if not copy.taken_by:
            return self.last
        taker = copy.taken_by[-1]
        if taker.batch is not None:
            return self.clock.minute(self.batches[taker.batch].starts)
        assert taker.use is not None
        return left_minute(self.day, *taker.use) + self.day.policy.return_min

    def _tools(self, batch: Batch) -> Iterator[_Held]:
        by_hand = [phase for phase in batch.phases if phase.crew] or batch.phases
        starts, ends = self.clock.minute(batch.starts), self.clock.minute(by_hand[-1].ends)
        for tool in self.day.stage(batch.demonstration, batch.stage).tools:
            yield _Held("tool", tool, starts, ends, 1, self._called(batch))

    def _on_set(self) -> Iterator[_Held]:
        for run in self.day.runs:
            for beat in () if run.dry else self.day.beats_of(run):
                starts = use_minute(self.day, run.id, beat.id)
                ends = left_minute(self.day, run.id, beat.id) + self.day.policy.return_min
                title = self.day.demonstration(run.demonstration).title
                for tool in beat.tools:
                    yield _Held("tool", tool, starts, ends, run.stations, title)
                for dressing in beat.dressing:
                    yield _Held("dressing", dressing, starts, ends, 1, title)


def _most(held: list[_Held], there: dict[str, int]) -> Gear:
    """Return the most of a thing in use at once; what is put down can be taken up at once."""
    steps = [(each.starts, each.count) for each in held]
    steps += [(each.ends, -each.count) for each in held]
    most = now = at = 0
    for minute, more in sorted(steps):
        now += more
        if now > most:
            most, at = now, minute
    first = held[0]
    used_for = tuple(dict.fromkeys(each.used_for for each in held))
    has = there.get(first.name, 0) if first.kind == "equipment" else None
    return Gear(first.kind, first.name, most, at, used_for, has)
