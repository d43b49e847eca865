"""What cools just now, when it will be cold by its readings, and whether that is in time."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from app.food.clocks import Due, dues
from app.food.curve import Cooling, Reached
from app.food.held import Held, Reading
from app.planning.eating import Eatings
from app.planning.histories import PLACES
from app.planning.minutes import Clock
from app.planning.moments import use_minute
from app.planning.plan import Copy, Plan, Taker

# The air of a freezer (common practice).
FREEZER_C = -18.0
Sureness = Literal["in time", "perhaps late", "late", "unknown"]


@dataclass(frozen=True)
class Step:
    """One temperature that is to be reached, and when it will be by the readings.

    Attributes
    ----------
    due
        The temperature, and by when.
    reached
        When it will be reached, and how surely; None where the readings do not tell.
    sureness
        *In time* where even the latest is early enough, *late* where even the earliest is not.
    """

    due: Due
    reached: Reached | None
    sureness: Sureness


@dataclass(frozen=True)
class Watched:
    """A copy that cools.

    Attributes
    ----------
    since
        The minute from which its time counts.
    readings
        What was measured since it left the heat; time counts from when it was last hot.
    cooling
        How it cools by them, if they tell.
    failed
        Why it may not be eaten any more, if it cooled too slowly.
    """

    copy: Copy
    since: int
    readings: tuple[Reading, ...]
    cooling: Cooling | None
    steps: tuple[Step, ...]
    failed: str

    @property
    def worst(self) -> Sureness:
        """Return how sure its least sure step is."""
        order: tuple[Sureness, ...] = ("late", "perhaps late", "unknown", "in time")
        return min((step.sureness for step in self.steps), key=order.index, default="in time")


def coolings(eatings: Eatings, plan: Plan, lost: Collection[str], now: int) -> list[Watched]:
    """Return the copies that cool at a minute, or have cooled too slowly, the worst first.

    Parameters
    ----------
    eatings
        The plan's copies with their readings and the house's limits.
    lost
        Copies that are lost, and so no more watched.
    now
        The minute in which somebody asks.
    """
    found = [
        watched
        for copy in plan.copies
        if copy.id not in lost and not _is_taken(eatings, plan, copy, now)
        if (watched := _watched(eatings, copy, now)) is not None
    ]
    order = ("late", "perhaps late", "unknown", "in time")
    return sorted(found, key=lambda each: (not each.failed, order.index(each.worst), each.since))


def _watched(eatings: Eatings, copy: Copy, now: int) -> Watched | None:
    stage = eatings.day.stage(copy.demonstration, copy.stage)
    if not stage.needs_temperature_control:
        return None
    held, house = eatings.histories.held(copy), eatings.watch.house
    readings = eatings.watch.readings.get(copy.id, ())
    if held.failed is not None:
        since, why = held.failed.since, eatings.of(copy, now).why
        return Watched(copy, since, _since(readings, since), None, (), why)
    due = dues(held, house)
    if not due or held.since is None or held.since > now:
        return None
    air_c = FREEZER_C if PLACES[stage.zone] == "frozen" else house.chill_air_c
    told = _since(readings, min(held.since, held.chilled_at or held.since))
    # Late: numpy takes a tenth of a second, which a server that starts does not have.
    from app.food.cooling import fitted

    cooling = fitted(_in_cold(told, held), air_c)
    steps = tuple(_step(each, cooling) for each in due)
    return Watched(copy, held.since, told, cooling, steps, "")


def _step(due: Due, cooling: Cooling | None) -> Step:
    if cooling is None:
        return Step(due, None, "unknown")
    from app.food.cooling import reached

    told = reached(cooling, due.celsius)
    if told.latest is not None and told.latest <= due.by:
        return Step(due, told, "in time")
    is_late = told.earliest is None or told.earliest > due.by
    return Step(due, told, "late" if is_late else "perhaps late")


def _since(readings: tuple[Reading, ...], since: int) -> tuple[Reading, ...]:
    return tuple(sorted(each for each in readings if each.at >= since))


def _in_cold(readings: tuple[Reading, ...], held: Held) -> tuple[Reading, ...]:
    """Return the readings in the cold where there are enough: in the room it cools otherwise."""
    cold = tuple(each for each in readings if each.at >= (held.chilled_at or 0))
    return cold if len(cold) > 1 else readings


def _is_taken(eatings: Eatings, plan: Plan, copy: Copy, now: int) -> bool:
    starts = {batch.id: batch.starts for batch in plan.batches}
    return any(_minute(eatings, starts, taker) <= now for taker in copy.taken_by)


def _minute(eatings: Eatings, starts: dict[str, str], taker: Taker) -> int:
    if taker.use is not None:
        return use_minute(eatings.day, *taker.use)
    clock: Clock = eatings.clock
    return clock.minute(starts[str(taker.batch)])
