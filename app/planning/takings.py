"""What each batch and each beat takes of each ingredient, exactly, and on which day."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.food.amounts import scaled
from app.food.measures import Quantity
from app.planning.day import Day, Ingredient, Run
from app.planning.minutes import Clock
from app.planning.moments import use_minute
from app.planning.plan import Batch, Plan


@dataclass(frozen=True)
class Taking:
    """So much of one ingredient for one batch, or for one beat of a run; None is to taste."""

    name: str
    quantity: Quantity | None
    date: str
    contains: tuple[str, ...] = ()


def of_batches(day: Day, plan: Plan) -> dict[str, tuple[Taking, ...]]:
    """Return what each batch takes, by its id; spares are weighed as well."""
    clock = Clock(day.timezone)
    return {batch.id: tuple(_batch(day, clock, batch)) for batch in plan.batches}


def of_beats(day: Day) -> dict[tuple[str, str], tuple[Taking, ...]]:
    """Return what each beat takes that is measured for the set, by run and beat."""
    clock = Clock(day.timezone)
    return {
        (run.id, beat.id): tuple(_beat(day, clock, run, beat.id, beat.ingredients))
        for run in day.runs
        if not run.dry
        for beat in day.beats_of(run)
    }


def takings(day: Day, plan: Plan) -> list[Taking]:
    """Return all that a plan takes of ingredients."""
    every = [*of_batches(day, plan).values(), *of_beats(day).values()]
    return [taking for some in every for taking in some]


def sets_of(day: Day, batch: Batch) -> int:
    """Return how many sets of inputs a batch takes."""
    stage = day.stage(batch.demonstration, batch.stage)
    way = next(way for way in stage.ways if way.id == batch.way)
    return -(-len(batch.copies) // stage.yields_by(way))


def _batch(day: Day, clock: Clock, batch: Batch) -> Iterator[Taking]:
    date = clock.date(clock.minute(batch.starts))
    copies, sets = len(batch.copies), sets_of(day, batch)
    for each in day.stage(batch.demonstration, batch.stage).ingredients:
        quantity = scaled(each.amount, each.unit, each.per, copies, sets, 1)
        yield Taking(each.name, quantity, date, each.contains)


def _beat(
    day: Day, clock: Clock, run: Run, beat: str, ingredients: Iterable[Ingredient]
) -> Iterator[Taking]:
    date = clock.date(use_minute(day, run.id, beat))
    for each in ingredients:
        quantity = scaled(each.amount, each.unit, each.per, run.stations, run.stations, 1)
        yield Taking(each.name, quantity, date, each.contains)
