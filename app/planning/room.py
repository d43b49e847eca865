"""Whether the batches of a published plan still find their crew and equipment as planned."""

from collections.abc import Iterator

from app.planning.begun import Span
from app.planning.crew import Crew, begun_by, duties_of
from app.planning.frozen import Frozen
from app.planning.happened import Happened
from app.planning.holds import Hold, holds_of
from app.planning.kitchen import Equipment
from app.planning.minutes import Clock
from app.planning.plan import Batch, Plan
from app.planning.warmth import Warmth


class Room:
    """The kitchen as it is for what has not begun.

    Parameters
    ----------
    state, plan
        The state now, of the published plan.
    frozen
        What a search takes as it is.
    """

    def __init__(self, state: Happened, plan: Plan, frozen: Frozen) -> None:
        self.day, self.now = state.day, state.now
        self.clock = Clock(state.day.timezone)
        self.to_come = [batch for batch in plan.batches if batch.id not in state.begun]
        self.warmth = Warmth(state.now, frozen.holds, frozen.lit)
        self.items = {item.id: item for item in state.day.kitchen.equipment}
        self.crew = Crew(state.day, begun_by(state, frozen))
        self.holds: dict[str, list[Hold]] = {}
        for hold in frozen.holds:
            self.holds.setdefault(hold.item, []).append(hold)
        self.planned = {
            batch.id: list(holds_of(self.day, batch, self._spans(batch))) for batch in self.to_come
        }
        self.beside: dict[str, list[Hold]] = {}
        for hold in (hold for holds in self.planned.values() for hold in holds):
            self.beside.setdefault(hold.item, []).append(hold)

    def _spans(self, batch: Batch) -> list[Span]:
        return self.clock.spans((phase.starts, phase.ends) for phase in batch.phases)

    def amiss(self) -> Iterator[Batch]:
        """Yield batches that can't be made when, by whom or in what they were to be."""
        for batch in self.to_come:
            holds = self.planned[batch.id]
            if not self._has_crew(batch) or not all(self._fits(hold) for hold in holds):
                yield batch

    def _has_crew(self, batch: Batch) -> bool:
        spans = self._spans(batch)
        if spans[0][0] < self.now:
            return False
        return all(
            len(told.crew) == duty.phase.hands and all(self.crew.can(c, duty) for c in told.crew)
            for told, duty in zip(batch.phases, duties_of(self.day, batch, spans), strict=True)
        )

    def _fits(self, hold: Hold) -> bool:
        """Tell whether an item is open for a hold, warm, with room, and at no other setting."""
        item = self.items.get(hold.item)
        if item is None:
            return False
        if any(a < hold.ends and hold.starts < b for a, b in self.clock.spans(item.closed)):
            return False
        if hold.is_first:
            warm = self.warmth.starts(item, hold.setting)
            if not any(a <= hold.starts <= b for a, b in warm):
                return False
        change_min = item.settings.change_min if item.settings else 0
        begun = self.holds.get(item.id, [])
        if any(_disturbs(each, hold, change_min) for each in begun):
            return False
        return not any(each.meets(hold) for each in begun) or self._has_units(item, hold, begun)

    def _has_units(self, item: Equipment, hold: Hold, begun: list[Hold]) -> bool:
        there = [each for each in begun + self.beside[item.id] if each.meets(hold)]
        moments = [max(each.starts, hold.starts) for each in there]
        return all(
            sum(each.units for each in there if each.starts <= at < each.ends) <= item.units
            for at in moments
        )


def _disturbs(one: Hold, other: Hold, change_min: int) -> bool:
    """Tell whether two holds are too near to each other for their settings."""
    differ = one.setting != other.setting
    if not (differ or one.falls or other.falls):
        return False
    gap_min = change_min if differ else 0
    return one.starts < other.ends + gap_min and other.starts < one.ends + gap_min
