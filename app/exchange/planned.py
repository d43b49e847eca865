"""A plan, its counts and its pull lists as sheets, to be worked on elsewhere: they go out only."""

from collections.abc import Iterable, Sequence

from app.exchange.cells import read_number, written_text, written_texts
from app.exchange.sheets import Cell, Cells, Sheet
from app.planning.day import Day
from app.planning.fetches import Fetch
from app.planning.minutes import Clock
from app.planning.plan import GOALS, Copy, Plan, Standing
from app.planning.pulls import Amount, BeatPull, StagePull, beat_pulls, stage_pulls


def sheets_of_plan(day: Day, plan: Plan) -> list[Sheet]:
    """Return a plan as sheets: what it reaches, each batch, phase, copy and use of it.

    Parameters
    ----------
    day, plan
        The plan and the day that it was worked out for.
    """
    heads = ("Plan", "Title", "Status", *GOALS, *(f"No plan below: {goal}" for goal in GOALS))
    goals = [*(value for _, value in plan.objective), *(value for _, value in plan.bounds)]
    return _filled(
        Sheet("Plan", (heads, (plan.number, _words(day.title), plan.status, *goals))),
        _sheet("Batches", "Batch Demonstration Stage Way Starts Ends Made Copies Takes", (
            (each.id, each.demonstration, each.stage, each.way, each.starts, each.ends,
             len(each.copies), _texts(each.copies), _texts(each.consumes))
            for each in plan.batches
        )),
        _sheet("Batch phases", "Batch Phase Starts Ends Does Crew Equipment", _phases(day, plan)),
        _sheet("Copies", "Copy Tag Demonstration Stage Staged From For Taken_by Stands", (
            (each.id, each.tag, each.demonstration, each.stage, each.staged_at, _origin(each),
             each.role, _texts(_takers(each)), _texts(map(_standing, each.places)))
            for each in plan.copies
        )),
        _sheet("Uses", "Run Beat Stage Copies Backups", (
            (each.run, each.beat, each.stage, _texts(each.copies), _texts(each.backups))
            for each in plan.uses
        )),
        _sheet("Heats", "Equipment Setting Starts Ends", (
            (each.equipment, each.setting, each.starts, each.ends) for each in plan.heats
        )),
        *sheets_of_count(day, plan),
        _sheet("Short", "Run Beat Stage Lacks Count", (
            (each.run, each.beat, each.stage, each.kind, each.count) for each in plan.unmet
        )),
        _sheet("Warnings", "Warning", ((_words(each),) for each in plan.warnings)),
    )  # fmt: skip


def sheets_of_count(day: Day, plan: Plan) -> list[Sheet]:
    """Return how many copies of each stage a plan makes, and why so many."""
    heads = (
        "Demonstration Title Stage Name Made In_stock Used_again On_camera Next_stage Backup "
        "Extra_for_losses Why"
    )
    return [
        _sheet("Count", heads, (
            (each.demonstration, _words(day.demonstration(each.demonstration).title),
             each.stage, _words(day.stage(each.demonstration, each.stage).called),
             each.made, each.stock, each.carried_in, each.on_camera, each.feeds, each.backups,
             each.spares, _words(each.why))
            for each in plan.counts
        ))
    ]  # fmt: skip


def sheets_of_pulls(day: Day, plan: Plan) -> list[Sheet]:
    """Return what to pull for each batch and each beat."""
    clock, stages, beats = Clock(day.timezone), stage_pulls(day, plan), beat_pulls(day, plan)
    return _filled(
        _sheet("By stage", "Demonstration Stage Batch Starts Ends Way People Copies Sets Tags "
               "Fetch Goes_to Tools Container Look Caution", _batches(clock, stages)),
        _sheet("Ingredients", "Demonstration Stage Batch Ingredient Amount Unit Contains Note", (
            (pull.demonstration, pull.stage, batch.batch, *_amount(each))
            for pull in stages for batch in pull.batches for each in batch.ingredients
        )),
        _sheet("By beat", "Run Beat Fetch_by Starts Stage Takes Stands_by Short No_backup",
               _needs(clock, beats)),
        _sheet("Comes back", "Run Beat From What Goes_to", (
            (pull.run, pull.beat, clock.text(pull.back_at), _fetched([each]),
             _words(each.bound_for))
            for pull in beats for each in pull.comes_back
        )),
        _sheet("For the set", "Run Beat Ingredient Amount Unit Contains Note", (
            (pull.run, pull.beat, *_amount(each)) for pull in beats for each in pull.ingredients
        )),
        _sheet("Set", "Run Beat Tools Dressing Note", (
            (pull.run, pull.beat, _texts(pull.tools), _texts(pull.dressing),
             _words(pull.note))
            for pull in beats if pull.tools or pull.dressing or pull.note
        )),
    )  # fmt: skip


def _sheet(name: str, heads: str, rows: Iterable[Cells]) -> Sheet:
    return Sheet(name, (tuple(head.replace("_", " ") for head in heads.split()), *rows))


def _filled(*sheets: Sheet) -> list[Sheet]:
    return [sheet for sheet in sheets if len(sheet.rows) > 1]


def _words(text: str) -> Cell:
    return written_text(text) if text else None


def _texts(values: Iterable[str]) -> Cell:
    told = list(values)
    return written_texts(told) if told else None


def _phases(day: Day, plan: Plan) -> Iterable[Cells]:
    for batch in plan.batches:
        stage = day.stage(batch.demonstration, batch.stage)
        way = next(way for way in stage.ways if way.id == batch.way)
        for number, (phase, told) in enumerate(zip(batch.phases, way.phases, strict=True), 1):
            held = [f"{each.id}: {each.units}" for each in phase.equipment]
            does = _words(told.does)
            crew = _texts(phase.crew)
            yield batch.id, number, phase.starts, phase.ends, does, crew, _texts(held)


def _origin(copy: Copy) -> str:
    made = copy.made_by
    return made.batch or made.stock or "/".join(made.use or ())


def _takers(copy: Copy) -> list[str]:
    return [each.batch or "/".join(each.use or ()) for each in copy.taken_by]


def _standing(place: Standing) -> str:
    return f"{place.shelf} level {place.level} slot {place.slot}, {place.from_}/{place.to}"


def _batches(clock: Clock, stages: Sequence[StagePull]) -> Iterable[Cells]:
    for pull in stages:
        words = [pull.container, pull.look, pull.caution]
        rest = (_texts(pull.tools), *(_words(each) for each in words))
        for each in pull.batches:
            times = clock.text(each.starts), clock.text(each.ends)
            yield (
                *(pull.demonstration, pull.stage, each.batch, *times, _words(each.way_name)),
                *(_texts(each.people), each.copies, each.sets, _texts(each.tags)),
                *(_fetched(each.inputs), _fetched(each.goes), *rest),
            )


def _needs(clock: Clock, beats: Sequence[BeatPull]) -> Iterable[Cells]:
    for pull in beats:
        for each in pull.needs:
            yield (
                *(pull.run, pull.beat, clock.text(pull.fetch_by), clock.text(pull.starts)),
                *(_words(each.stage_name), _fetched(each.takes), _fetched(each.backups)),
                *(each.lacks or None, each.lacks_backups or None),
            )


def _fetched(fetches: Iterable[Fetch]) -> Cell:
    return _texts(
        f"{each.stage_name} {each.label}" + (f" from {each.place}" if each.place else "")
        for each in fetches
    )


def _amount(each: Amount) -> Cells:
    number = read_number(each.amount)
    amount = number if isinstance(number, int | float) else each.amount
    note = _words(each.note)
    unit = _words(each.unit)
    return _words(each.name), amount, unit, _texts(each.contains), note
