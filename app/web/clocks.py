"""What the clocks say of copies on a screen: eaten until when, cold by when, not for whom."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.food.limits import House, degrees
from app.planning.day import Day
from app.planning.eating import Eating, Eatings
from app.planning.histories import Watch
from app.planning.people import Table
from app.planning.plan import Copy, Plan
from app.planning.readings import late_by, watch_of
from app.planning.spoilt import Spoiling, lost_because
from app.planning.tasks import tags_in_words
from app.storage.engine import reading
from app.storage.queries.decisions import DecisionRow, decisions
from app.storage.queries.safety import house
from app.storage.states import States
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
    house: House


def house_now() -> House:
    """Return the limits that the house works by."""
    with reading() as conn:
        return house(conn)


def watch_now(
    day: Day, plan: Plan, states: States, house: House, decided: Iterable[DecisionRow]
) -> Watch:
    """Return what is known beside a plan: limits, readings, when work was done, decisions."""
    keys = [row.key for row in decided]
    return watch_of(day, plan, house, states.measured, *_worked(states), keys)


def lateness(day: Day, plan: Plan, states: States) -> dict[str, int]:
    """Return what the clocks take from ticks: by how many minutes batches are late, by their id."""
    return late_by(day, plan, *_worked(states))


def _worked(states: States) -> tuple[dict[str, str], dict[str, str]]:
    """Return when batches were started, and when they were staged, as somebody said."""
    batches = states.batches.items()
    started = {batch: each.started.at for batch, each in batches if each.started is not None}
    staged = {batch: each.staged.at for batch, each in batches if each.staged is not None}
    return started, staged


def eatings(floor: Floor) -> Eatings:
    """Return what may be eaten of a plan, as things stand."""
    with reading() as conn:
        known, rows = house(conn), decisions(conn, floor.production.id)
    watch = watch_now(floor.day, floor.plan, floor.states, known, rows)
    return Eatings(floor.day, floor.plan, watch)


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
        house=house,
    )


def eaten_by_batch(floor: Floor) -> dict[str, list[str]]:
    """Return until when the copies of each batch may be eaten, in words, where any may.

    A stage that nobody calls ready to eat says so once, not at each of its batches.
    """
    told, copies = eatings(floor), {copy.id: copy for copy in floor.plan.copies}
    return {
        batch.id: _in_words(floor, told, [copies[id] for id in batch.copies if id in copies])
        for batch in floor.plan.batches
        if floor.day.stage(batch.demonstration, batch.stage).ready_to_eat
    }


def heeded_by_beat(floor: Floor) -> dict[str, list[str]]:
    """Return what to heed of each beat, by its run and its name as `run/beat`.

    Who would meet what they avoid, and which copies for tasting may not be eaten by then.
    """
    told, lost = eatings(floor), floor.states.lost
    spoiling = Spoiling(floor.day, floor.plan, told.watch, lost)
    found: dict[str, list[str]] = {}
    for met in people(floor).meetings:
        doubt = ", to be eaten" if met.is_served else ""
        found.setdefault(f"{met.run}/{met.beat}", []).append(f"{met.said}{doubt}.")
    for each in spoiling.found(floor.now):
        why = lost_because(floor.day, each)
        words = f"{each.copy.tag} is NOT FOR EATING by then. {why}"
        found.setdefault("/".join(each.use), []).append(words)
    return {beat: list(dict.fromkeys(words)) for beat, words in found.items()}


def _in_words(floor: Floor, told: Eatings, copies: list[Copy]) -> list[str]:
    """Return the verdicts of copies in words, each once, with the tags where they differ."""
    tags: dict[str, list[str]] = {}
    for copy in copies:
        # Before it is staged a copy is told as it will be then; what the camera does comes later.
        now = max(floor.now, told.histories.staged(copy))
        eating = told.of(copy, now)
        until = "" if eating.until is None else f" until {_when(floor, eating.until)}"
        words = f"Safe to eat{until}" if eating.is_safe else f"NOT FOR EATING: {eating.why}"
        tags.setdefault(words, []).append(copy.tag)
    if len(tags) == 1:
        return list(tags)
    return [f"{tags_in_words(each)}: {words}" for words, each in tags.items()]


def _read(tick: Measured, house: House) -> Read:
    return Read(tick.n or 0, degrees(tick.celsius, house), hour(tick.at), tick.by)


def _when(floor: Floor, minute: int) -> str:
    """Return the hour of a minute, with its date where that is not today."""
    text = floor.clock.text(minute)
    return hour(text) if text[:10] == floor.today else when(text)
