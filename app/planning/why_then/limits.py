"""How far a batch could move, all else being held, and what it meets there."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from app.planning.day import Day, Phase, Way
from app.planning.holds import Hold, holds_of
from app.planning.minutes import Clock
from app.planning.needs import Left, Use, needs_of
from app.planning.plan import Batch, Copy, Plan
from app.planning.tasks import setting_in_words

Kind = Literal[
    "margin", "step", "keeping", "inputs", "backup", "prep", "shift", "crew", "equipment", "end"
]
Span = tuple[int, int]


@dataclass(frozen=True)
class Limit:
    """So many minutes a batch could move one way, what binds it then, and that in words."""

    minutes: int
    kind: Kind
    words: str


def nearest(limits: Iterable[Limit]) -> Limit:
    """Return the limit that is met first; of several, the one that is named first."""
    return min(limits, key=lambda limit: limit.minutes)


class Sheet:
    """A day and its plan, by name. Minutes count from 1970 in UTC.

    Parameters
    ----------
    day, plan
        A day and a plan of it that keeps every rule.
    date
        The local date that is meant where an hour bears none.
    in_fahrenheit
        Whether the house reads degrees Fahrenheit.
    """

    def __init__(self, day: Day, plan: Plan, date: str, in_fahrenheit: bool = False) -> None:
        self.day, self.plan, self.clock = day, plan, Clock(day.timezone)
        self.date, self.in_fahrenheit = date, in_fahrenheit
        self.copies: dict[str, Copy] = {copy.id: copy for copy in plan.copies}
        self.batches: dict[str, Batch] = {batch.id: batch for batch in plan.batches}
        self.prep_from = self.clock.minute(day.prep_from)

    @cached_property
    def uses(self) -> dict[tuple[str, str, str], Use]:
        """Return the needs by run, beat and stage."""
        return {(*use.at, use.stage[1]): use for use in needs_of(self.day).uses}

    @cached_property
    def left(self) -> dict[tuple[str, str, str], Left]:
        """Return what beats leave by run, beat and stage."""
        return {(*left.at, left.stage[1]): left for left in needs_of(self.day).left}

    @cached_property
    def backed(self) -> dict[str, list[Use]]:
        """Return for each copy the uses that it backs."""
        found: dict[str, list[Use]] = {}
        for told in self.plan.uses:
            for copy in told.backups:
                found.setdefault(copy, []).append(self.uses[told.run, told.beat, told.stage])
        return found

    @cached_property
    def holds(self) -> dict[str, list[Hold]]:
        """Return what batches hold of each item."""
        found: dict[str, list[Hold]] = {item.id: [] for item in self.day.kitchen.equipment}
        for batch in self.plan.batches:
            for hold in holds_of(self.day, batch, [span for _, span in self.phases(batch)]):
                if hold.units:
                    found[hold.item].append(hold)
        return found

    @cached_property
    def end(self) -> int:
        """Return when the production ends."""
        return needs_of(self.day).end

    def hour(self, minute: int) -> str:
        """Return the hour of a minute, with its day where that is another one."""
        return self.clock.hour_seen_from(minute, self.date)

    def span(self, batch: Batch) -> Span:
        """Return when a batch starts and when its copies are staged."""
        return self.clock.minute(batch.starts), self.clock.minute(batch.ends)

    def way(self, batch: Batch) -> Way:
        """Return the way that a batch goes."""
        ways = self.day.stage(batch.demonstration, batch.stage).ways
        return next(way for way in ways if way.id == batch.way)

    def phases(self, batch: Batch) -> list[tuple[Phase, Span]]:
        """Return the phases of a batch, each with its span."""
        spans = [
            (self.clock.minute(told.starts), self.clock.minute(told.ends)) for told in batch.phases
        ]
        return list(zip(self.way(batch).phases, spans, strict=True))

    def called(self, demonstration: str, stage: str) -> str:
        """Return a stage in words: *Cardamom knots, baked*."""
        told = self.day.demonstration(demonstration)
        return f"{told.title}, {told.stage(stage).called}"

    def at(self, setting: int | None) -> str:
        """Return what an item is set to in words: *180 °C*."""
        return setting_in_words(setting, self.in_fahrenheit)

    def use_called(self, use: Use) -> str:
        """Return a use in words: *reveal of knots-take-1 at 14:05*."""
        run = self.day.run(use.run)
        beat = self.day.demonstration(run.demonstration).beat(use.beat).called
        return f"{beat} of {run.called} at {self.hour(use.start)}"
