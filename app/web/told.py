"""What was told of the day beside the ticks, in words, and whether the plan knows it."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from app.food.limits import House, degrees
from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import tags_in_words
from app.planning.undoing import standing
from app.storage.ticks import (
    Absent,
    Added,
    AnyTick,
    Closed,
    Dropped,
    Expected,
    Lost,
    Measured,
    Moved,
    OfTheDay,
    Staged,
    Undone,
)
from app.web.words import hour, many, when

EARLY_MIN = 5


@dataclass(frozen=True)
class Entry:
    """One thing that was told and stands."""

    n: int
    words: str
    at: str
    by: str
    is_known: bool
    is_undone_here: bool


@dataclass(frozen=True)
class TakenBack:
    """One thing that was told and does not stand any more, and who took it back."""

    words: str
    at: str
    by: str
    back_at: str
    back_by: str


class Teller:
    """Puts what was told into words; the days are all those that give names.

    `unknown` is what the published plan does not know and should.
    """

    def __init__(
        self,
        days: Sequence[Day],
        plan: Plan,
        ticks: Sequence[AnyTick],
        unknown: Collection[AnyTick] = (),
    ) -> None:
        self.day, self.plan, self.ticks = days[-1], plan, list(ticks)
        self.unknown = {tick.n for tick in unknown}
        self.clock = Clock(self.day.timezone)
        self.tags = {copy.id: copy for copy in plan.copies}
        self.batches = {batch.id: batch for batch in plan.batches}
        added = [tick.run for tick in ticks if isinstance(tick, Added)]
        known = [run for day in days for run in day.runs]
        self.runs = {run.id: run.called for run in (*added, *known)}
        kitchen = self.day.kitchen
        self.named = {each.id: each.called for each in (*kitchen.equipment, *kitchen.crew)}

    def entries(self, told: int) -> list[Entry]:
        """Return what stands, the last first; the plan knows of what has a number up to `told`."""
        return [
            Entry(
                n=tick.n or 0,
                words=words,
                at=tick.at,
                by=tick.by,
                is_known=(tick.n or 0) <= told,
                is_undone_here=not isinstance(tick, Staged),
            )
            for tick in reversed(standing(self.ticks))
            if (words := self.words(tick))
        ]

    def taken_back(self, house: House) -> list[TakenBack]:
        """Return what was told and taken back, readings as well, the last first."""
        stands = standing(self.ticks)
        undos = {each.undoes: each for each in stands if isinstance(each, Undone)}
        told = ((tick, undos[tick.n]) for tick in reversed(self.ticks) if tick.n in undos)
        return [
            TakenBack(words, tick.at, tick.by, undo.at, undo.by)
            for tick, undo in told
            if (words := self._read(tick, house) or self.words(tick))
        ]

    def _read(self, tick: AnyTick, house: House) -> str:
        if not isinstance(tick, Measured):
            return ""
        return f"{self._copy(tick.copy_id)} was at {degrees(tick.celsius, house)}"

    def words(self, tick: AnyTick) -> str:
        """Return what a tick says; nothing where it says that all went as planned."""
        if isinstance(tick, Lost):
            why = f": {tick.why}" if tick.why else ""
            return f"{self._copy(tick.copy_id)} is lost{why}"
        if isinstance(tick, Staged):
            return self._of_staged(tick)
        if isinstance(tick, Expected):
            return f"{self._batch(tick.batch)} will be staged at {self._at(tick.ends, tick)}"
        return self._of_the_day(tick) if isinstance(tick, OfTheDay) else ""

    def _of_staged(self, tick: Staged) -> str:
        """Return what was lost in the making, and whether it was staged clearly early."""
        lost = f"{many(len(tick.lost), 'copy', 'copies')} lost in the making" if tick.lost else ""
        known = self.batches.get(tick.batch)
        early_min = self.clock.minute(known.ends) - self.clock.minute(tick.at) if known else 0
        is_early = early_min >= EARLY_MIN or (early_min > 0 and tick.n in self.unknown)
        early = f"staged {early_min} min early" if is_early else ""
        said = " and ".join(filter(None, (early, lost)))
        return f"{self._batch(tick.batch)}: {said}" if said else ""

    def _of_the_day(self, tick: OfTheDay) -> str:
        if isinstance(tick, Moved):
            return f"{self._run(tick.run)} starts at {self._at(tick.starts, tick)}"
        if isinstance(tick, Added):
            return f"{tick.run.called} is new, at {self._at(tick.run.starts, tick)}"
        if isinstance(tick, Dropped):
            return f"{self._run(tick.run)} will not be"
        span = f"from {self._at(tick.from_, tick)} to {self._at(tick.to, tick)}"
        if isinstance(tick, Closed):
            return f"{self._named(tick.equipment)} is down {span}"
        assert isinstance(tick, Absent)
        return f"{self._named(tick.crew)} is away {span}"

    def _at(self, text: str, tick: AnyTick) -> str:
        """Return the hour of a time, with its date where that is not the tick's."""
        return hour(text) if text[:10] == tick.at[:10] else when(text)

    def _run(self, run: str) -> str:
        return self.runs.get(run, run)

    def _named(self, thing: str) -> str:
        return self.named.get(thing, thing)

    def _copy(self, copy: str) -> str:
        known = self.tags.get(copy)
        if known is None:
            return copy
        return f"{known.tag}, {self.day.stage(known.demonstration, known.stage).called},"

    def _batch(self, batch: str) -> str:
        known = self.batches.get(batch)
        if known is None:
            return batch
        stage = self.day.stage(known.demonstration, known.stage).called
        tags = tags_in_words(self.tags[each].tag for each in known.copies if each in self.tags)
        return f"{stage} {tags}".rstrip()
