"""Which batches have begun, and their real times.

Crew may forget to tick. Whoever speaks of a staged copy says that its batch was staged by then,
and a batch that was started had its inputs. Where a beat left them, the beat had what it needed.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from app.planning.day import Day
from app.planning.events import (
    AnyEvent,
    Expected,
    Lost,
    Measured,
    Placed,
    Returned,
    Sent,
    Staged,
    Started,
    Used,
)
from app.planning.minutes import Clock
from app.planning.plan import Batch, Plan

Span = tuple[int, int]


@dataclass(frozen=True)
class Begun:
    """A batch that has begun. Minutes count from 1970 in UTC.

    `spans` are its phases as they were, or are expected to be; `lengths_min` is how long they last
    by the way; `lost` are the copies that the crew told as lost when they staged the others;
    `expected` is when somebody said that its copies will be staged.
    """

    batch: Batch
    spans: tuple[Span, ...]
    lengths_min: tuple[int, ...]
    is_staged: bool
    lost: frozenset[str]
    expected: int | None = None

    @property
    def starts(self) -> int:
        """Return when it started."""
        return self.spans[0][0]

    @property
    def ends(self) -> int:
        """Return when its copies were, or will be, staged."""
        return self.spans[-1][1]

    @property
    def due(self) -> int:
        """Return when its copies are, or were, staged if it takes as long as the way says.

        Somebody may have said that it takes more, or less.
        """
        if self.expected is not None:
            return max(self.starts, self.expected)
        return self.starts + sum(self.lengths_min)

    def staged_when_due(self) -> "Begun":
        """Return it as staged when it was due, though nobody said so."""
        spans = tuple(_spans(self.lengths_min, self.starts, self.due))
        return replace(self, spans=spans, is_staged=True)


@dataclass
class _Told:
    """What is known of one batch; `by` says at the latest when, where nobody said when."""

    started: int | None = None
    staged: int | None = None
    started_by: int | None = None
    staged_by: int | None = None
    expected: int | None = None
    lost: frozenset[str] = frozenset()


def begun_batches(day: Day, plan: Plan, events: Iterable[AnyEvent], now: int) -> dict[str, Begun]:
    """Return the batches that have begun, by id, in the order of the plan.

    Parameters
    ----------
    day, plan
        The day as it stands, and the plan that people work from.
    events
        The events that stand, in the order of their numbers.
    now
        The minute now; a batch that nobody has staged lasts until then at least.
    """
    reader = _Reader(day, plan, now)
    for event in events:
        reader.take(event)
    return reader.begun()


class _Reader:
    """Gathers what is told of the batches of one plan."""

    def __init__(self, day: Day, plan: Plan, now: int) -> None:
        self.day, self.plan, self.now = day, plan, now
        self.clock = Clock(day.timezone)
        self.batch_of = {copy: batch.id for batch in plan.batches for copy in batch.copies}
        self.told = {batch.id: _Told() for batch in plan.batches}
        self.behind = copies_behind(plan)

    def take(self, event: AnyEvent) -> None:
        """Take in the next event."""
        at = min(self.clock.minute(event.at), self.now)
        if isinstance(event, Started):
            told = self.told[event.batch]
            told.started = at if told.started is None else told.started
        elif isinstance(event, Staged):
            told = self.told[event.batch]
            told.staged, told.lost = at, frozenset(event.lost)
        elif isinstance(event, Expected):
            told = self.told[event.batch]
            told.started_by = _earlier(told.started_by, at)
            told.expected = self.clock.minute(event.ends)
        elif isinstance(event, Lost):
            self._by(event.copy_id, started_by=at)
        else:
            for copy in seen(event):
                self._by(copy, started_by=at, staged_by=at)

    def _by(self, copy: str, started_by: int, staged_by: int | None = None) -> None:
        for each in self._with_behind(copy):
            batch = self.batch_of.get(each)
            if batch is not None:
                told = self.told[batch]
                told.started_by = _earlier(told.started_by, started_by)
                staged = staged_by if each == copy else started_by
                told.staged_by = _earlier(told.staged_by, staged)

    def begun(self) -> dict[str, Begun]:
        """Return the batches that have begun, what takes copies before what gave them."""
        found: dict[str, Begun] = {}
        for batch in self._takers_first():
            begun = self._settled(batch)
            if begun is not None:
                found[batch.id] = begun
                for copy in batch.consumes:
                    self._by(copy, started_by=begun.starts, staged_by=begun.starts)
        return {batch.id: found[batch.id] for batch in self.plan.batches if batch.id in found}

    def _takers_first(self) -> list[Batch]:
        takers: dict[str, list[Batch]] = {}
        for batch in self.plan.batches:
            for copy in (each for taken in batch.consumes for each in self._with_behind(taken)):
                takers.setdefault(self.batch_of.get(copy, ""), []).append(batch)
        order: dict[str, Batch] = {}
        passed: set[str] = set()

        def visit(batch: Batch) -> None:
            if batch.id not in passed:
                passed.add(batch.id)
                for taker in takers.get(batch.id, []):
                    visit(taker)
                order[batch.id] = batch

        for batch in self.plan.batches:
            visit(batch)
        return list(order.values())

    def _with_behind(self, copy: str) -> tuple[str, ...]:
        """Return a copy and all that beats had before it was left."""
        found = {copy: None}
        fresh = [copy]
        while fresh:
            more = [each for each in self.behind.get(fresh.pop(), ()) if each not in found]
            found |= dict.fromkeys(more)
            fresh += more
        return tuple(found)

    def _settled(self, batch: Batch) -> Begun | None:
        told = self.told[batch.id]
        lengths = self._lengths(batch)
        planned, length = self.clock.minute(batch.starts), sum(lengths)
        if told.started is not None:
            starts = told.started
        elif (limit := _earlier(told.staged, told.staged_by)) is not None:
            starts = planned if planned <= limit else limit - length
        elif told.started_by is not None:
            starts = min(planned, told.started_by)
        else:
            return None
        if told.expected is not None:
            length = max(0, told.expected - starts)
        if told.staged is not None:
            starts, ends = min(starts, told.staged), told.staged
        elif told.staged_by is not None:
            ends = max(starts, min(starts + length, told.staged_by))
        else:
            ends = max(starts + length, self.now)
        is_staged = told.staged is not None or told.staged_by is not None
        spans = tuple(_spans(lengths, starts, ends))
        return Begun(batch, spans, lengths, is_staged, told.lost, told.expected)

    def _lengths(self, batch: Batch) -> tuple[int, ...]:
        """Return the minutes that each phase lasts by the way."""
        way = self.day.stage(batch.demonstration, batch.stage).way(batch.way)
        return tuple(phase.length_min(len(batch.copies)) for phase in way.phases)


def copies_behind(plan: Plan) -> dict[str, tuple[str, ...]]:
    """Return for each copy that a beat left those that the beat was to have.

    Parameters
    ----------
    plan
        The plan that people work from. What a beat hands back is not left anew.
    """
    had: dict[tuple[str, str], list[str]] = {}
    for use in plan.uses:
        had.setdefault((use.run, use.beat), []).extend(use.copies)
    return {
        copy.id: tuple(each for each in had.get(copy.made_by.use, ()) if each != copy.id)
        for copy in plan.copies
        if copy.made_by.use is not None
    }


def seen(event: AnyEvent) -> tuple[str, ...]:
    """Return the copies that an event speaks of as staged."""
    if isinstance(event, Sent | Used | Returned):
        return event.copies
    return (event.copy_id,) if isinstance(event, Placed | Measured) else ()


def named(event: AnyEvent) -> tuple[str, ...]:
    """Return the copies that an event speaks of, lost or not."""
    return (event.copy_id,) if isinstance(event, Lost) else seen(event)


def _spans(lengths: tuple[int, ...], starts: int, ends: int) -> Iterator[Span]:
    """Yield the phases from a start to an end: the last ones are cut short or drawn out."""
    for number, length in enumerate(lengths, 1):
        until = ends if number == len(lengths) else min(starts + length, ends)
        yield starts, until
        starts = until


def _earlier(one: int | None, other: int | None) -> int | None:
    known = [each for each in (one, other) if each is not None]
    return min(known, default=None)
