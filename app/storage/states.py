"""The event log folded: the state of each batch, the copies that are lost, what the day became."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from typing import Any, Literal, NamedTuple

from app.planning.day import Day
from app.planning.day_now import day_now
from app.planning.readings import is_by_readings
from app.planning.undoing import standing
from app.storage.ticks import (
    Absent,
    Added,
    AnyTick,
    Closed,
    Expected,
    Lost,
    Measured,
    OfTheDay,
    Staged,
    Started,
    Undone,
)

State = Literal["planned", "started", "staged"]
TooEarly = Callable[[Collection[str], Mapping[str, str]], Collection[str]]
"""From what has begun, and when batches were staged, to those staged too early for the plan."""


class Said(NamedTuple):
    """Who said so, when, by which event."""

    n: int
    at: str
    by: str


class BatchState(NamedTuple):
    """The state of one batch; `lost` are the copies lost in its making."""

    batch: str
    state: State = "planned"
    started: Said | None = None
    staged: Said | None = None
    lost: tuple[str, ...] = ()

    @property
    def last(self) -> Said | None:
        """Return who said that it is in this state: the event that an undo takes back."""
        return self.staged or self.started


class LostCopy(NamedTuple):
    """A copy that is lost, since when, why."""

    copy: str
    why: str
    said: Said
    batch: str | None


class States:
    """What the log says now: batches by id (the untouched are *planned*), lost copies by id.

    `of_the_day` is what was told of runs, equipment and people and stands, in order; `measured` is
    what thermometers showed; `unknown` is what the published plan does not know and should.
    """

    def __init__(
        self,
        n: int,
        batches: dict[str, BatchState],
        lost: dict[str, LostCopy],
        of_the_day: tuple[OfTheDay, ...] = (),
        measured: tuple[Measured, ...] = (),
        unknown: tuple[AnyTick, ...] = (),
    ) -> None:
        self.n, self.batches, self.lost, self.of_the_day = n, batches, lost, of_the_day
        self.measured, self.unknown = measured, unknown

    def of(self, batch: str) -> BatchState:
        """Return the state of a batch."""
        return self.batches.get(batch) or BatchState(batch)

    @property
    def begun(self) -> list[Said]:
        """Return all that was said and not taken back, in order."""
        said = {each.last for each in self.batches.values()} | {
            each.said for each in self.lost.values()
        }
        return sorted(each for each in said if each is not None)

    def under_way(self, day: Day) -> list[Said]:
        """Return what keeps a day from being planned afresh: all that began, and what it became.

        Parameters
        ----------
        day
            The day as it stands in the store; what it says already keeps nobody from planning it.
        """
        told = [] if day_now(day, self.of_the_day) == day else map(_said, self.of_the_day)
        return sorted([*self.begun, *told])


class Folding:
    """The log folded tick by tick; only what is taken back makes it fold anew."""

    def __init__(self, ticks: Iterable[AnyTick] = ()) -> None:
        self.ticks = list(ticks)
        self._fold()

    def add(self, tick: AnyTick) -> None:
        """Take in the next tick."""
        self.ticks.append(tick)
        if isinstance(tick, Undone):
            self._fold()
        else:
            self._take(tick)

    def cut(self, length: int) -> None:
        """Forget all but the first `length` ticks."""
        del self.ticks[length:]
        self._fold()

    def said_before(self, tick: AnyTick) -> int | None:
        """Return the number of the event that says the same as `tick`, if one stands."""
        if isinstance(tick, Started):
            return _number(self.started.get(tick.batch))
        if isinstance(tick, Staged):
            staged = self.staged.get(tick.batch)
            return _number(staged) if staged and set(staged.lost) == set(tick.lost) else None
        if isinstance(tick, Lost):
            by_batch = (each for each in self.staged.values() if tick.copy_id in each.lost)
            return _number(self._lost_before(tick) or next(by_batch, None))
        if isinstance(tick, Expected | OfTheDay):
            last = self.said.get(_subject(tick))
            return _number(last) if last and _content(last) == _content(tick) else None
        # Two readings alike are two readings.
        return None if isinstance(tick, Measured) else self.undone.get(tick.undoes or 0)

    def _lost_before(self, tick: Lost) -> Lost | None:
        """Return who said so before; what somebody ticks stands beside what readings told."""
        before = self.lost.get(tick.copy_id)
        is_new = before is not None and is_by_readings(before) and not is_by_readings(tick)
        return None if is_new else before

    def states(self, told: int = 0, too_early: TooEarly | None = None) -> States:
        """Return the states that the ticks lead to; the plan knows of those up to `told`."""
        batches = {
            batch: _state(batch, self.started.get(batch), self.staged.get(batch))
            for batch in self.started | self.staged
        }
        n = self.ticks[-1].n if self.ticks else 0
        gone = _gone(self.staged, self.lost)
        unknown = tuple(self._unknown(told, self._early(told, too_early)))
        return States(n or 0, batches, gone, tuple(self.of_the_day), tuple(self.measured), unknown)

    def _early(self, told: int, too_early: TooEarly | None) -> Collection[str]:
        """Return the batches of which the plan does not know that they were staged too early."""
        staged = {batch: tick.at for batch, tick in self.staged.items() if (tick.n or 0) > told}
        return too_early(self.started.keys() | self.staged, staged) if too_early and staged else ()

    def _unknown(self, told: int, early: Collection[str]) -> Iterator[AnyTick]:
        """Yield what happened otherwise than the plan says, as far as somebody said so."""
        for tick in standing(self.ticks):
            is_otherwise = isinstance(tick, Lost | Expected | OfTheDay)
            if isinstance(tick, Staged):
                is_otherwise = bool(tick.lost) or tick.batch in early
            elif isinstance(tick, Undone):
                is_otherwise = (tick.undoes or 0) <= told and not self._is_of_a_reading(tick)
            if is_otherwise and (tick.n or 0) > told:
                yield tick

    def _is_of_a_reading(self, undo: Undone) -> bool:
        """Return whether an undo takes back a reading: no plan knows of those."""
        return any(isinstance(each, Measured) and each.n == undo.undoes for each in self.ticks)

    def _fold(self) -> None:
        self.started: dict[str, Started] = {}
        self.staged: dict[str, Staged] = {}
        self.lost: dict[str, Lost] = {}
        self.measured: list[Measured] = []
        self.of_the_day: list[OfTheDay] = []
        self.said: dict[tuple[str, ...], AnyTick] = {}
        self.undone: dict[int, int] = {}
        for tick in standing(self.ticks):
            self._take(tick)

    def _take(self, tick: AnyTick) -> None:
        if isinstance(tick, Started):
            self.started.setdefault(tick.batch, tick)
        elif isinstance(tick, Staged):
            self.staged[tick.batch] = tick
        elif isinstance(tick, Lost):
            if self._lost_before(tick) is None:
                self.lost[tick.copy_id] = tick
        elif isinstance(tick, Measured):
            self.measured.append(tick)
        elif isinstance(tick, Expected | OfTheDay):
            self.said[_subject(tick)] = tick
            if isinstance(tick, OfTheDay):
                self.of_the_day.append(tick)
        elif tick.undoes is not None:
            self.undone[tick.undoes] = tick.n or 0


def fold(ticks: Iterable[AnyTick], told: int = 0, too_early: TooEarly | None = None) -> States:
    """Return the states that stored ticks lead to.

    Parameters
    ----------
    ticks
        In the order of their numbers.
    told
        The number of the last one that the published plan knows of.
    too_early
        Finds what was staged too early for the published plan.
    """
    return Folding(ticks).states(told, too_early)


def _subject(tick: Expected | OfTheDay) -> tuple[str, ...]:
    """Return what a tick speaks of: of one thing, the last word holds."""
    if isinstance(tick, Expected):
        return tick.event, tick.batch
    if isinstance(tick, Closed):
        return tick.event, tick.equipment, tick.from_, tick.to
    if isinstance(tick, Absent):
        return tick.event, tick.crew, tick.from_, tick.to
    return "run", tick.run.id if isinstance(tick, Added) else tick.run


def _content(tick: AnyTick) -> tuple[str, dict[str, Any]]:
    return tick.event, tick.says()


def _state(batch: str, started: Started | None, staged: Staged | None) -> BatchState:
    first = started or staged
    return BatchState(
        batch,
        "staged" if staged else "started",
        _said(first) if first else None,
        _said(staged) if staged else None,
        staged.lost if staged else (),
    )


def _gone(staged: dict[str, Staged], lost: dict[str, Lost]) -> dict[str, LostCopy]:
    gone = {
        copy: LostCopy(copy, "", _said(tick), tick.batch)
        for tick in staged.values()
        for copy in tick.lost
    }
    return gone | {copy: LostCopy(copy, tick.why, _said(tick), None) for copy, tick in lost.items()}


def _said(tick: AnyTick) -> Said:
    return Said(tick.n or 0, tick.at, tick.by)


def _number(tick: AnyTick | None) -> int | None:
    return tick.n if tick else None
