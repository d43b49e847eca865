"""What events say has happened, as the rules take it: begun, staged, lost, used, back, gone out.

Nothing that has begun breaks a rule of planning any more: it is as it happened. What is still to
come keeps every rule, from the real times on.
"""

from collections.abc import Iterable

from app.planning.auditing.moments import Moment, UseKey
from app.planning.events import (
    Absent,
    Added,
    AnyEvent,
    Closed,
    Dropped,
    Expected,
    Lost,
    Measured,
    Moved,
    Placed,
    Returned,
    Sent,
    Staged,
    Started,
    Undone,
    Used,
)
from app.planning.minutes import MINUTE_S, Clock
from app.planning.plan import Batch, Plan

Spot = tuple[str, int, int]
OfTheDay = Moved | Added | Dropped | Closed | Absent


class History:
    """What was told and not taken back. Minutes count from 1970 in UTC.

    `now` is until when things are as they happened: the time now, else that of the last event;
    None where nothing is told at all; `is_now_told` says that it is the time now. `started` and
    `staged` are the minutes that somebody told, `expected` those at which somebody expects a batch
    to be staged; `seen` is by when the copies of a batch were staged, as somebody saw one of them.
    """

    def __init__(
        self, plan: Plan, clock: Clock, events: Iterable[AnyEvent] = (), now: int | None = None
    ) -> None:
        self.clock = clock
        self.started: dict[str, int] = {}
        self.staged: dict[str, int] = {}
        self.expected: dict[str, int] = {}
        self.seen: dict[str, int] = {}
        self.begun: set[str] = set()
        self.lost: dict[str, int] = {}
        self.lost_in_making: dict[str, set[str]] = {}
        self.returned: dict[str, list[int]] = {}
        self.sent: dict[str, list[tuple[int, UseKey]]] = {}
        self.used: dict[UseKey, set[str]] = {}
        self.placed: dict[str, list[tuple[int, Spot]]] = {}
        self.named: set[str] = set()
        self.of_the_day: list[OfTheDay] = []
        self._made_in = {copy: batch.id for batch in plan.batches for copy in batch.copies}
        told = _standing(list(events))
        for event in told:
            self._take(event, clock.minute(event.at))
        self._behind = _copies_behind(plan)
        self._inputs_staged(plan)
        last = max((clock.minute(event.at) for event in told), default=None)
        self.now = last if now is None else now
        self.is_now_told = now is not None

    def is_aired(self, moment: Moment) -> bool:
        """Tell whether a beat has begun."""
        if moment.key in self.used:
            return True
        return self.now is not None and moment.starts_s <= self.now * MINUTE_S

    def came_back(self, copy: str, moment: Moment) -> int:
        """Return when a copy is back from a beat: as somebody said, else by the clock."""
        told = (each for each in self.returned.get(copy, ()) if each >= moment.start)
        return min(told, default=moment.back)

    def out_for(self, copy: str) -> UseKey | None:
        """Return the beat that a copy has gone to the set for, if it is not back from there."""
        since, beat = max(self.sent.get(copy, ()), default=(0, None))
        is_back = any(each >= since for each in self.returned.get(copy, ()))
        return None if is_back else beat

    def _take(self, event: AnyEvent, at: int) -> None:
        if isinstance(event, Started):
            self.started.setdefault(event.batch, at)
            self.begun.add(event.batch)
        elif isinstance(event, Staged):
            self.staged[event.batch] = at
            self.lost_in_making[event.batch] = set(event.lost)
            self.begun.add(event.batch)
        elif isinstance(event, Expected):
            self.expected[event.batch] = self.clock.minute(event.ends)
            self.begun.add(event.batch)
        elif isinstance(event, OfTheDay):
            self.of_the_day.append(event)
        elif isinstance(event, Lost):
            self.lost.setdefault(event.copy_id, at)
            self._name(event.copy_id)
        elif isinstance(event, Placed | Measured):
            self._see(event.copy_id, at)
            if isinstance(event, Placed):
                spot = event.shelf, event.level, event.slot
                self.placed.setdefault(event.copy_id, []).append((at, spot))
        elif isinstance(event, Sent | Used | Returned):
            for copy in event.copies:
                self._see(copy, at)
            self._on_set(event, at)

    def _on_set(self, event: Sent | Used | Returned, at: int) -> None:
        if isinstance(event, Used):
            self.used.setdefault((event.run, event.beat), set()).update(event.copies)
            return
        for copy in event.copies:
            if isinstance(event, Sent):
                self.sent.setdefault(copy, []).append((at, (event.run, event.beat)))
            else:
                self.returned.setdefault(copy, []).append(at)

    def _name(self, copy: str) -> None:
        self.named.add(copy)
        if copy in self._made_in:
            self.begun.add(self._made_in[copy])

    def _see(self, copy: str, at: int) -> None:
        self._name(copy)
        batch = self._made_in.get(copy)
        if batch is not None:
            self.seen[batch] = min(at, self.seen.get(batch, at))

    def _inputs_staged(self, plan: Plan) -> None:
        """Take the batches that gave copies to a batch that has begun as staged by its start."""
        by_id = {batch.id: batch for batch in plan.batches}
        fresh = [by_id[each] for each in sorted(self.begun) if each in by_id]
        while fresh:
            taker = fresh.pop()
            at = self._starts(taker)
            for copy in self._all_behind(taker.consumes):
                batch = self._made_in.get(copy)
                if batch is not None and batch not in self.begun:
                    self.begun.add(batch)
                    fresh.append(by_id[batch])
                if batch is not None and at is not None:
                    self.seen[batch] = min(at, self.seen.get(batch, at))

    def _all_behind(self, copies: Iterable[str]) -> list[str]:
        """Return copies with all that beats had before they left them."""
        found = list(dict.fromkeys(copies))
        known = set(found)
        for copy in found:
            more = [each for each in self._behind.get(copy, ()) if each not in known]
            known.update(more)
            found += more
        return found

    def _starts(self, batch: Batch) -> int | None:
        if batch.id in self.started:
            return self.started[batch.id]
        try:
            return self.clock.minute(batch.starts)
        except (ValueError, OverflowError):
            return None

    def see_in_use(self, copy: str, start: int) -> None:
        """Take a copy of a batch that has begun as staged by the beat that took it."""
        batch = self._made_in.get(copy)
        if batch in self.begun and batch is not None:
            self.seen[batch] = min(start, self.seen.get(batch, start))


def _copies_behind(plan: Plan) -> dict[str, list[str]]:
    """Return for each copy that a beat left those that the beat had."""
    had: dict[UseKey, list[str]] = {}
    for use in plan.uses:
        had.setdefault((use.run, use.beat), []).extend(use.copies)
    left = (copy for copy in plan.copies if copy.made_by.use is not None)
    return {copy.id: had.get(copy.made_by.use, []) for copy in left if copy.made_by.use}


def _standing(events: list[AnyEvent]) -> list[AnyEvent]:
    """Return the events that are not undone: an undo that is undone itself undoes nothing."""
    undone: set[int | None] = set()
    for event in sorted(events, key=lambda each: each.n or 0, reverse=True):
        if isinstance(event, Undone) and event.n not in undone:
            undone.add(event.undoes)
    return [event for event in events if event.n not in undone]
