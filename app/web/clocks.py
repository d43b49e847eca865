"""What the clocks say of copies on a screen: eaten until when, cold by when, not for whom."""

from dataclasses import dataclass

from app.food.held import Reading
from app.food.limits import House, degrees
from app.planning.day import Day
from app.planning.eating import Eating, Eatings
from app.planning.histories import Watch
from app.planning.minutes import Clock
from app.planning.people import Table
from app.planning.plan import Batch, Copy, Plan
from app.storage.engine import reading
from app.storage.queries.safety import house
from app.storage.states import BatchState, States
from app.storage.ticks import Measured
from app.web.floor import Floor, kept
from app.web.words import hour, when


@dataclass(frozen=True)
class Due:
    """A temperature that is to be reached by a time."""

    degrees: str
    by: str
    is_over: bool


@dataclass(frozen=True)
class Read:
    """One reading as it is listed; `n` is what takes it back."""

    n: int
    degrees: str
    at: str
    by: str


@dataclass(frozen=True)
class Clocked:
    """What the clocks say of one copy."""

    eating: Eating
    until: str
    dues: tuple[Due, ...]
    on_label: tuple[str, ...]
    readings: tuple[Read, ...]
    people: tuple[str, ...]
    has_people: bool
    unit: str


def house_now() -> House:
    """Return the limits that the house works by."""
    with reading() as conn:
        return house(conn)


def watch_of(day: Day, plan: Plan, states: States, house: House) -> Watch:
    """Return what is known beside a plan: limits, readings, and when work was really done."""
    clock = Clock(day.timezone)
    told: dict[str, list[Reading]] = {}
    for each in states.measured:
        told.setdefault(each.copy_id, []).append(Reading(clock.minute(each.at), each.celsius))
    late_min = {
        batch.id: late
        for batch in plan.batches
        if (late := _late_min(clock, batch, states.of(batch.id)))
    }
    return Watch(house, {copy: tuple(readings) for copy, readings in told.items()}, late_min)


def eatings(floor: Floor) -> Eatings:
    """Return what may be eaten of a plan, as things stand."""
    return Eatings(
        floor.day, floor.plan, watch_of(floor.day, floor.plan, floor.states, house_now())
    )


def people(floor: Floor) -> Table:
    """Return who of the people of its runs meets what they avoid; read once a plan."""
    id = floor.production.id
    return kept(id, floor.plan, "people", lambda: Table(floor.day, floor.plan))


def clocked(floor: Floor, copy: Copy) -> Clocked:
    """Return what the clocks say of a copy now."""
    told = eatings(floor)
    house, eating = told.watch.house, told.of(copy, floor.now)
    table = people(floor)
    return Clocked(
        eating=eating,
        until="" if eating.until is None else _when(floor, eating.until),
        dues=tuple(
            Due(degrees(each.celsius, house), _when(floor, each.by), each.by < floor.now)
            for each in eating.dues
        ),
        on_label=tuple(_when(floor, minute) for minute in eating.on_label),
        readings=tuple(
            _read(each, house) for each in floor.states.measured if each.copy_id == copy.id
        ),
        people=tuple(table.of_copy(copy)),
        has_people=any(run.people for run in floor.day.runs),
        unit="°F" if house.in_fahrenheit else "°C",
    )


def _late_min(clock: Clock, batch: Batch, state: BatchState) -> int:
    """Return how much later than planned a batch went, by what was ticked.

    Who forgot to tick ticks late: the earliest that can be is taken, so that no clock starts late.
    """
    told = []
    if state.started is not None:
        told.append(clock.minute(state.started.at) - clock.minute(batch.starts))
    if state.staged is not None:
        told.append(clock.minute(state.staged.at) - clock.minute(batch.ends))
    return min(told, default=0)


def _read(tick: Measured, house: House) -> Read:
    return Read(tick.n or 0, degrees(tick.celsius, house), hour(tick.at), tick.by)


def _when(floor: Floor, minute: int) -> str:
    """Return the hour of a minute, with its date where that is not today."""
    text = floor.clock.text(minute)
    return hour(text) if text[:10] == floor.today else when(text)
