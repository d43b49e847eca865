"""A plan gone through by hand, one thing after another: another reckoning of how sure it is.

It knows the day and the plan as anybody reads them, and shares nothing with `app/planning/risk`.
One day is gone through at a time, as slowly as it takes. Minutes count from 1970 in UTC.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from app.planning.day import Day, Need, Run, Stage
from app.planning.minutes import MINUTE_S, Clock
from app.planning.plan import Batch, Copy, Plan

Beat = tuple[str, str]
Fell = tuple[str, str, str, bool]
"""A copy, *late* or *old*, what was to take it, and whether it was to back that."""
Work = tuple[str, int]
Later = Mapping[Beat, tuple[int, int]]
"""By how many minutes beats begin and end later."""
NOWHERE = -(10**9)


@dataclass
class Thing:
    """What stands on the table under the name of a copy."""

    copy: str
    is_there: bool = False
    staged: float = 0
    ready: float = 0


@dataclass
class Gone:
    """How one day went."""

    fell: set[Fell] = field(default_factory=set)
    short: set[tuple[str, str, str]] = field(default_factory=set)


class Replay:
    """A day and its plan, to be gone through."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.plan, self.clock = day, plan, Clock(day.timezone)
        self.copies = {copy.id: copy for copy in plan.copies}
        self.batches = {batch.id: batch for batch in plan.batches}
        self.told = {(use.run, use.beat, use.stage): use for use in plan.uses}
        self.work = {
            (batch.id, number): self.clock.spans([(phase.starts, phase.ends)])[0]
            for batch in plan.batches
            for number, phase in enumerate(batch.phases)
        }
        self.seconds = {
            (run.id, beat.id): self._seconds(run, beat.starts_s, beat.lasts_s)
            for run in day.runs
            for beat in day.beats_of(run)
            if not run.dry
        }
        self.backs: dict[str, int] = {}
        for (run, beat, _), use in self.told.items():
            for copy in use.backups:
                start = self.seconds[run, beat][0] // MINUTE_S
                self.backs[copy] = max(start, self.backs.get(copy, start))
        self.before = {work: self._before(*work) for work in self.work}

    def _seconds(self, run: Run, starts_s: int, lasts_s: int) -> tuple[int, int]:
        first_s = min(beat.starts_s for beat in self.day.beats_of(run))
        zero_s = self.clock.minute(run.starts) * MINUTE_S
        zero_s -= first_s if run.starts_at_first_beat else 0
        return zero_s + starts_s, zero_s + starts_s + lasts_s

    def taken_at(self, copy: Copy) -> float:
        """Return the second at which a copy is first taken."""
        first = copy.taken_by[0]
        if first.use is not None:
            return self.seconds[first.use][0]
        return self.work[first.batch or "", 0][0] * MINUTE_S

    def stage(self, copy: str) -> Stage:
        """Return the stage of a copy."""
        return self.day.stage(self.copies[copy].demonstration, self.copies[copy].stage)

    def is_clean(self, copy: str) -> bool:
        """Tell whether nothing of a copy has been in front of camera before it is made."""
        made_by = self.copies[copy].made_by
        return made_by.use is None and (made_by.batch is None or self.is_pure(made_by.batch))

    def is_pure(self, batch: str) -> bool:
        """Tell whether nothing that a batch takes has been in front of camera."""
        starts_s = self.work[batch, 0][0] * MINUTE_S
        return all(
            self.is_clean(each)
            and not any(
                taker.use and self.seconds[taker.use][0] < starts_s
                for taker in self.copies[each].taken_by
            )
            for each in self.batches[batch].consumes
        )

    def idle(self, demonstration: str, stage: str, at: int, clean: bool) -> list[str]:
        """Return the copies that nothing takes and that back nothing from a minute on."""
        return [
            copy.id
            for copy in self.plan.copies
            if (copy.demonstration, copy.stage) == (demonstration, stage)
            and not copy.taken_by
            and self.clock.minute(copy.staged_at) <= at
            and self.backs.get(copy.id, NOWHERE) < at
            and (not clean or self.is_clean(copy.id))
        ]

    def _before(self, batch: str, number: int) -> list[tuple[Work, int]]:
        """Return what a phase waits for, and how long after that it may start."""
        here = self.batches[batch].phases[number]
        starts = self.work[batch, number][0]
        found: list[tuple[Work, int]] = [((batch, number - 1), 0)] if number else []
        for other, (_, ends) in self.work.items():
            if other != (batch, number) and ends <= starts:
                there = self.batches[other[0]].phases[other[1]]
                if set(here.crew) & set(there.crew):
                    found.append((other, 0))
        for held in here.equipment:
            found += self._in_the_way(batch, number, held.id, held.units)
        return found

    def _in_the_way(
        self, batch: str, number: int, item_id: str, units: int
    ) -> list[tuple[Work, int]]:
        """Return the phases that were in an item before and leave it no room, or another heat."""
        item = next(each for each in self.day.kitchen.equipment if each.id == item_id)
        starts = self.work[batch, number][0]
        users = sorted(
            (self.work[other, index], other, index)
            for other, told in self.batches.items()
            for index, phase in enumerate(told.phases)
            if any(held.id == item_id for held in phase.equipment)
        )
        earlier = [each for each in users if each[0][1] <= starts]
        found: list[tuple[Work, int]] = []
        if item.settings is not None:
            mine = self._setting(batch, number, item.kind)
            for _, other, index in earlier:
                if self._setting(other, index, item.kind) != mine:
                    falls = other == batch and index == number - 1
                    found.append(((other, index), 0 if falls else item.settings.change_min))
        if item.units == units:
            found += [((other, index), 0) for _, other, index in earlier]
        return found

    def _setting(self, batch: str, number: int, kind: str) -> int | None:
        told = self.batches[batch]
        phase = self.day.stage(told.demonstration, told.stage).way(told.way).phases[number]
        return next(each.setting for each in phase.equipment if each.kind == kind)

    def gone(
        self,
        later: Later | None = None,
        length: Callable[[Work], float] = lambda _: 1.0,
        is_lost: Callable[[str], bool] = lambda _: False,
    ) -> Gone:
        """Return how a day goes.

        Parameters
        ----------
        later
            The beats that begin or end later than they should.
        length
            What each phase's length is multiplied by.
        is_lost
            Whether a copy is lost in the making.
        """
        return _Day(self, later or {}, length, is_lost).gone()


class _Day:
    """One day that is gone through."""

    def __init__(self, replay: Replay, later: Later, length: Any, is_lost: Any) -> None:
        self.of, self.later, self.length, self.is_lost = replay, later, length, is_lost
        self.table = {copy: Thing(copy) for copy in replay.copies}
        self.ends: dict[Work, float] = {}
        self.made: dict[str, int] = {}
        self.went = Gone()
        for entry in replay.day.stock:
            staged = replay.clock.minute(entry.staged)
            for copy in replay.plan.copies:
                if copy.made_by.stock == entry.id:
                    self.table[copy.id] = Thing(copy.id, True, staged, staged)

    def gone(self) -> Gone:
        """Go through it in the planned order; a beat comes before the work of the same minute."""
        beats = [(start, 0, "", 0, key) for key, (start, _) in self.of.seconds.items()]
        work = [(span[0] * MINUTE_S, 1, *key, ("", "")) for key, span in self.of.work.items()]
        for _, is_work, batch, number, beat in sorted([*beats, *work]):
            if is_work:
                self._work(batch, number)
            else:
                self._show(*beat)
        return self.went

    def _work(self, batch: str, number: int) -> None:
        told = self.of.batches[batch]
        planned, ended = self.of.work[batch, number]
        earliest = [float(planned)] if not number else [self._opens(told, number)]
        earliest += [self.ends[before] + lag for before, lag in self.of.before[batch, number]]
        if not number:
            there = [self.table[copy] for copy in told.consumes]
            earliest += [thing.ready for thing in there if thing.is_there]
        starts = self._not_closed(told, number, max(earliest))
        if not number:
            self.made[batch] = self._begun(told, starts)
        self.ends[batch, number] = starts + (ended - planned) * self.length((batch, number))
        if number == len(told.phases) - 1:
            self._stage(told)

    def _opens(self, batch: Batch, number: int) -> float:
        """Return how early a later phase could start: the shift has begun, the oven is hot."""
        phase, clock = batch.phases[number], self.of.clock
        planned = self.of.work[batch.id, number][0]
        bounds: list[float] = [NOWHERE]
        for cook in self.of.day.kitchen.crew:
            if cook.id in phase.crew:
                comes = planned
                for since, until in sorted(clock.spans(cook.shifts), reverse=True):
                    comes = since if since <= comes <= until else comes
                bounds.append(comes)
        for held in phase.equipment:
            hot = {clock.minute(h.ends) for h in self.of.plan.heats if h.equipment == held.id}
            bounds += [planned] if planned in hot else []
            bounds += [until for _, until in self._closed(held.id) if until <= planned]
        return max(bounds)

    def _closed(self, item_id: str) -> list[tuple[int, int]]:
        item = next(each for each in self.of.day.kitchen.equipment if each.id == item_id)
        return sorted(self.of.clock.spans(item.closed))

    def _not_closed(self, batch: Batch, number: int, starts: float) -> float:
        planned = self.of.work[batch.id, number][0]
        shut = [span for held in batch.phases[number].equipment for span in self._closed(held.id)]
        for since, until in sorted(shut):
            if until > planned and since <= starts < until:
                starts = until
        return starts

    def _begun(self, batch: Batch, starts: float) -> int:
        """Return how many copies a batch begins, of what it finds."""
        stage = self.of.day.stage(batch.demonstration, batch.stage)
        way = stage.way(batch.way)
        made = len(batch.copies)
        for taken in stage.takes_by(way):
            kin = taken.demonstration or batch.demonstration, taken.stage
            others = self.of.idle(
                *kin, self.of.work[batch.id, 0][0], clean=self.of.is_pure(batch.id)
            )
            oldest = self.of.day.stage(*kin).keeps_min
            names = [
                copy
                for copy in batch.consumes
                if (self.of.copies[copy].demonstration, self.of.copies[copy].stage) == kin
            ]
            found = sum(self._has(name, starts, oldest, batch.id, others) for name in names)
            made = min(made, found // taken.count * stage.yields_by(way))
        return made

    def _fits(self, copy: str, at: float, oldest_min: int, on_set: bool = False) -> bool:
        thing = self.table[copy]
        is_young = thing.is_there and at - thing.staged <= oldest_min
        return is_young and (on_set or thing.ready <= at)

    def _has(
        self,
        copy: str,
        at: float,
        oldest_min: int,
        taker: str,
        others: list[str],
        on_set: bool = False,
    ) -> bool:
        """Tell whether a copy can be taken; if not, let the first that can take its place."""
        if self._fits(copy, at, oldest_min, on_set):
            return True
        self._tell(copy, at, taker, is_backup=False)
        for other in others:
            if self._fits(other, at, oldest_min):
                gone, come = self.table[copy], self.table[other]
                self.table[copy], self.table[other] = come, gone
                if self.of.is_clean(other) and not self.of.is_clean(copy):
                    gone.is_there = False
                return True
        return False

    def _tell(self, copy: str, at: float, taker: str, is_backup: bool) -> None:
        thing = self.table[copy]
        if thing.is_there:
            why = "late" if thing.ready > at else "old"
            self.went.fell.add((thing.copy, why, taker, is_backup))

    def _stage(self, batch: Batch) -> None:
        """Hand out what came out well: to the first takers, then to backups, then nobody."""

        def rank(copy: str) -> tuple[int, float]:
            if self.of.copies[copy].taken_by:
                return 0, self.of.taken_at(self.of.copies[copy])
            return (1, self.of.backs[copy]) if copy in self.of.backs else (2, 0)

        good = sum(not self.is_lost(copy) for copy in batch.copies[: self.made[batch.id]])
        ends = self.ends[batch.id, len(batch.phases) - 1]
        for number, copy in enumerate(sorted(batch.copies, key=rank)):
            self.table[copy] = Thing(copy, number < good, ends, ends)

    def _show(self, run: str, beat: str) -> None:
        begins, over = self.later.get((run, beat), (0, 0))
        told = self.of.day.run(run)
        shown = self.of.day.demonstration(told.demonstration).beat(beat)
        start_s, end_s = self.of.seconds[run, beat]
        at, staged = start_s // MINUTE_S + begins, -(-end_s // MINUTE_S) + over
        back = staged + self.of.day.policy.return_min
        served = [self._serve(told, beat, need, at, back) for need in shown.needs]
        whole = all(served)
        for copy in self.of.plan.copies:
            if copy.made_by.use == (run, beat):
                self.table[copy.id] = Thing(copy.id, whole, staged, back)

    def _serve(self, run: Run, beat: str, need: Need, at: float, back: float) -> bool:
        use, taker = self.of.told[run.id, beat, need.stage], f"{run.id}/{beat}/{need.stage}"
        stage = self.of.day.stage(run.demonstration, need.stage)
        oldest = stage.keeps_min
        if need.tasting and stage.safety_min is not None:
            oldest = min(oldest, stage.safety_min)
        for copy in use.backups:
            if not self._fits(copy, at, oldest):
                self._tell(copy, at, taker, is_backup=True)
        others = self._beside(run, need, use.copies, use.backups, self.of.seconds[run.id, beat][0])
        wanted = need.count * (run.stations if need.per_station else 1)
        got = 0
        for copy in use.copies:
            on_set = self._is_handed_over(copy, run.id, self.of.seconds[run.id, beat][0])
            if self._has(copy, at, oldest, taker, others, on_set):
                got += 1
                if self._comes_back(copy, self.of.seconds[run.id, beat][0]):
                    self.table[copy].ready = back
        if got < wanted:
            self.went.short.add((run.id, beat, need.stage))
        return got == wanted

    def _beside(
        self, run: Run, need: Need, taken: tuple[str, ...], backups: tuple[str, ...], start_s: int
    ) -> list[str]:
        """Return what may step in: what serves nothing, what backs, what is wanted latest."""
        idle = self.of.idle(
            run.demonstration, need.stage, start_s // MINUTE_S, need.untouched or need.tasting
        )

        def dear(copy: str) -> tuple[int, float]:
            if self.of.copies[copy].taken_by:
                return 2, -self.of.taken_at(self.of.copies[copy])
            return (1, self.of.backs[copy]) if copy in self.of.backs else (0, 0)

        others = [copy for copy in dict.fromkeys((*backups, *idle)) if copy not in taken]
        return sorted(others, key=dear)

    def _is_handed_over(self, copy: str, run: str, start_s: int) -> bool:
        """Tell whether a copy comes from an earlier beat of the same run."""
        told = self.of.copies[copy]
        had = [(self.of.seconds[t.use][0], t.use[0]) for t in told.taken_by if t.use]
        if told.made_by.use is not None:
            had.append((NOWHERE, told.made_by.use[0]))
        before = [each for each in had if each[0] < start_s]
        return bool(before) and max(before)[1] == run

    def _comes_back(self, copy: str, start_s: int) -> bool:
        """Tell whether something takes a copy after this."""
        takers = self.of.copies[copy].taken_by
        return any(
            (self.of.seconds[t.use][0] if t.use else self.of.work[t.batch or "", 0][0] * 60)
            > start_s
            for t in takers
        )
