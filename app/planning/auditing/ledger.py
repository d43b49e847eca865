"""A day and a plan side by side: every id looked up once, every time as a minute.

A plan may hold anything: what cannot be looked up is None or left out here, and the rule that
it breaks tells so.
"""

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TypeVar

from app.planning.auditing.breach import tidy
from app.planning.auditing.history import History
from app.planning.auditing.moments import Demand, Moment, NeedKey, UseKey, programme
from app.planning.auditing.parts import Item, Making, Span, Step, Taking
from app.planning.day import Day
from app.planning.events import AnyEvent
from app.planning.minutes import MINUTE_S, Clock
from app.planning.plan import Batch, Copy, Plan, Use

K = TypeVar("K")
V = TypeVar("V")
MANY = 6


class Ledger:
    """Everything that the rules look up."""

    def __init__(
        self, day: Day, plan: Plan, events: Iterable[AnyEvent] = (), now: str | None = None
    ) -> None:
        self.day, self.plan = day, plan
        self.clock = Clock(day.timezone)
        until = None if now is None else self.clock.minute(now)
        self.history = History(plan, self.clock, events, until)
        self.prep_from = self.clock.minute(day.prep_from)
        self.programme = programme(day, self.clock)
        self.stages = {(demo.id, stage.id): stage for demo, stage in day.all_stages()}
        self.stock = {entry.id: entry for entry in day.stock}
        self.makings = [self._making(batch) for batch in plan.batches]
        self.making = first((each.batch.id, each) for each in self.makings)
        self.items = first((copy.id, self._item(copy)) for copy in plan.copies)
        self.alike: dict[tuple[str, str], list[Item]] = {}
        for item in self.items.values():
            kin = item.copy.demonstration, item.copy.stage
            self.alike.setdefault(kin, []).append(item)
        self.shelves = {shelf.id: shelf for shelf in day.kitchen.shelves}
        self.zones = {shelf.zone for shelf in day.kitchen.shelves}
        self.used = self._by_need(use for use in plan.uses)
        self.served = {key: self.fitting(key, use.copies) for key, use in self.used.items()}
        self.backing = {key: self.fitting(key, use.backups) for key, use in self.used.items()}
        for key, copies in self.served.items():
            moment = self.programme.demands[key].moment
            for copy in copies if self.history.is_aired(moment) else ():
                self.history.see_in_use(copy, moment.start)
        self.takings = self._takings()
        self.first_used_s = first(
            (copy, taking.starts_s)
            for copy, takings in self.takings.items()
            for taking in takings
            if taking.demand
        )
        self.backed = self._backed()
        self.lacks = self._lacks()

    def minute(self, text: str) -> int | None:
        """Return the minute of a time, None for what is no time of the production's zone."""
        try:
            return self.clock.minute(text)
        except (ValueError, OverflowError):
            return None

    def at(self, minute: int | None) -> str:
        """Return a minute as people read it."""
        if minute is None:
            return "an unreadable time"
        try:
            return self.clock.text(minute)
        except (ValueError, OverflowError):
            return f"minute {minute}"

    def fitting(self, key: NeedKey, ids: Iterable[str]) -> list[str]:
        """Return the distinct copies among `ids` that are of the needed stage."""
        wanted = self.programme.demands[key]
        return [
            each
            for each in dict.fromkeys(ids)
            if (item := self.items.get(each))
            and (item.copy.demonstration, item.copy.stage) == (wanted.demonstration, key[2])
        ]

    def steps(self, item: Item) -> Iterator[Step]:
        """Yield the takings of a copy in time order, each with what had the copy before."""
        last = item.left_by
        for taking in self.takings.get(item.copy.id, ()):
            yield Step(item, taking, last, self._ready(item, taking, last))
            last = taking.demand.moment if taking.demand else None

    def all_steps(self) -> Iterator[Step]:
        """Yield the steps of every copy."""
        for item in self.items.values():
            yield from self.steps(item)

    def _ready(self, item: Item, taking: Taking, last: Moment | None) -> int | None:
        """Return the minute from which a copy is at hand in the kitchen for a taker."""
        known = [each for each in (item.staged, item.told) if each is not None]
        ready = self.back(item, last) if last else max(known, default=None)
        out = self.programme.moments.get(self.history.out_for(item.copy.id) or ("", ""))
        if ready is None or out is None or (taking.demand and taking.demand.moment is out):
            return ready
        return max(ready, out.back)

    def back(self, item: Item, last: Moment) -> int:
        """Return the minute at which a copy is back from a beat."""
        return self.history.came_back(item.copy.id, last)

    def is_over(self, taking: Taking) -> bool:
        """Tell whether a taking has happened: its batch has begun, or its beat."""
        if taking.making:
            return self.is_begun(taking.making)
        return taking.demand is not None and self.history.is_aired(taking.demand.moment)

    def is_told(self, item: Item, demand: Demand) -> bool:
        """Tell whether somebody said that a beat used a copy."""
        return item.copy.id in self.history.used.get(demand.moment.key, ())

    def is_begun(self, making: Making) -> bool:
        """Tell whether a batch has begun, so that it is as it happened."""
        return making.batch.id in self.history.begun

    def lost_at(self, item: Item) -> int | None:
        """Return the minute at which a copy was lost, None if it was not."""
        making = item.making
        if making and item.copy.id in self.history.lost_in_making.get(making.batch.id, ()):
            return self.history.staged[making.batch.id]
        return self.history.lost.get(item.copy.id)

    def slack_min(self, item: Item) -> int:
        """Return how long before a batch the copy has to be at hand."""
        keeps = item.stage.keeps_min if item.stage else 0
        return min(self.day.policy.step_slack_min, keeps // 2)

    def new_left(self, key: NeedKey) -> int:
        """Return how many new copies of a stage a beat leaves, as the plan serves it."""
        moment = self.programme.moments.get(key[:2])
        if moment is None or self.lacking(moment.key):
            return 0
        needed = self.programme.demands.get(key)
        return max(0, self.programme.left.get(key, 0) - (needed.count if needed else 0))

    def was_used(self, item: Item, before_s: int) -> bool:
        """Tell whether a copy has been in front of camera before a second."""
        first_s = self.first_used_s.get(item.copy.id)
        return first_s is not None and first_s < before_s

    @cached_property
    def shown(self) -> set[Making]:
        """Return the batches with anything among their inputs, however far back, from camera."""
        shown: set[Making] = set()
        passed: set[str] = set()
        fresh = [making for making in self.makings if self._takes_shown(making)]
        while fresh:
            making = fresh.pop()
            shown.add(making)
            for copy in set(making.batch.copies) - passed:
                passed.add(copy)
                takers = (each.making for each in self.takings.get(copy, ()))
                fresh += [each for each in takers if each and each not in shown]
        return shown

    def _takes_shown(self, making: Making) -> bool:
        start_s = (making.starts or 0) * MINUTE_S
        inputs = (self.items.get(copy) for copy in making.batch.consumes)
        return any(each and (each.left_by or self.was_used(each, start_s)) for each in inputs)

    def lacking(self, key: UseKey) -> bool:
        """Tell whether a beat lacks any of its copies."""
        needs = self.programme.moments[key].beat.needs
        demands = (self.programme.demands[*key, need.stage] for need in needs)
        return any(len(self.served.get(each.key, ())) < each.count for each in demands)

    def _making(self, batch: Batch) -> Making:
        stage = self.stages.get((batch.demonstration, batch.stage))
        ways = stage.ways if stage else ()
        way = next((each for each in ways if each.id == batch.way), None)
        spans = tuple(self._span(phase.starts, phase.ends) for phase in batch.phases)
        return Making(batch, stage, way, spans)

    def _span(self, starts: str, ends: str) -> Span | None:
        both = self.minute(starts), self.minute(ends)
        return None if both[0] is None or both[1] is None else (both[0], both[1])

    def _item(self, copy: Copy) -> Item:
        origin = copy.made_by
        making = None if origin.batch is None else self.making.get(origin.batch)
        left_by = None if origin.use is None else self.programme.moments.get(origin.use)
        stock = None if origin.stock is None else self.stock.get(origin.stock)
        told = self.minute(copy.staged_at)
        staged = making.ends if making else left_by.staged if left_by else None
        if stock:
            staged = self.clock.minute(stock.staged)
        return Item(
            copy=copy,
            stage=self.stages.get((copy.demonstration, copy.stage)),
            making=making,
            left_by=left_by,
            stock=stock,
            staged=told if staged is None else staged,
            told=told,
        )

    def _by_need(self, uses: Iterable[Use]) -> dict[NeedKey, Use]:
        keyed = first(((use.run, use.beat, use.stage), use) for use in uses)
        return {key: use for key, use in keyed.items() if key in self.programme.demands}

    def _takings(self) -> dict[str, list[Taking]]:
        takings: dict[str, list[Taking]] = {}
        for key, use in self.used.items():
            demand = self.programme.demands[key]
            for copy in dict.fromkeys(use.copies):
                taking = Taking(demand.moment.starts_s, demand=demand)
                takings.setdefault(copy, []).append(taking)
        for making in self.makings:
            if making.starts is not None:
                for copy in dict.fromkeys(making.batch.consumes):
                    taking = Taking(making.starts * MINUTE_S, making=making)
                    takings.setdefault(copy, []).append(taking)
        for each in takings.values():
            each.sort(key=lambda taking: taking.starts_s)
        return takings

    def _backed(self) -> dict[str, list[Demand]]:
        backed: dict[str, list[Demand]] = {}
        for key, copies in self.backing.items():
            for copy in copies:
                backed.setdefault(copy, []).append(self.programme.demands[key])
        return backed

    def _lacks(self) -> dict[tuple[NeedKey, str], int]:
        lacks: dict[tuple[NeedKey, str], int] = {}
        for lack in self.plan.unmet:
            key = (lack.run, lack.beat, lack.stage), lack.kind
            lacks[key] = lacks.get(key, 0) + lack.count
        return lacks


def first(pairs: Iterable[tuple[K, V]]) -> dict[K, V]:
    """Return a dictionary in which a doubled key keeps its first value."""
    found: dict[K, V] = {}
    for key, value in pairs:
        found.setdefault(key, value)
    return found


def words(ids: Iterable[str]) -> str:
    """Return ids as a sentence shows them, the first few of many."""
    every = list(ids)
    shown = ", ".join(tidy(each) for each in every[:MANY])
    return shown + (f" and {len(every) - MANY} more" if len(every) > MANY else "")
