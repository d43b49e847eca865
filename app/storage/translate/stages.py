"""Stages, ways and phases to rows and back."""

from collections.abc import Sequence
from typing import NamedTuple

from sqlalchemy import Connection

from app.planning.day import Ingredient, Input, Phase, PhaseEquipment, Stage, Way
from app.storage.tables.demonstrations import DEMONSTRATIONS
from app.storage.tables.ingredients import INGREDIENTS
from app.storage.tables.phases import PHASE_EQUIPMENT, PHASES
from app.storage.tables.stages import INPUTS, STAGES
from app.storage.tables.ways import WAYS
from app.storage.translate.rows import (
    Rows,
    Values,
    fields_of,
    insert_rows,
    row_of,
    rows_below,
    rows_of,
)


class Parts(NamedTuple):
    """The rows below the stages of a production, each by its parent's id."""

    stage_inputs: Rows
    ways: Rows
    way_inputs: Rows
    phases: Rows
    equipment: Rows
    ingredients: Rows


def parts_of(connection: Connection, production: int) -> Parts:
    """Return all that lies below the stages of a production, in six queries."""
    stage = (STAGES.c.demonstration_id, DEMONSTRATIONS.c.production_id)
    way = (WAYS.c.stage_id, *stage)
    phase = (PHASES.c.way_id, *way)
    routes = (
        (INPUTS.c.stage_id, *stage),
        way,
        (INPUTS.c.way_id, *way),
        phase,
        (PHASE_EQUIPMENT.c.phase_id, *phase),
        (INGREDIENTS.c.stage_id, *stage),
    )
    return Parts(*(rows_below(connection, production, *route) for route in routes))


def stage_from(row: Values, parts: Parts) -> Stage:
    """Return a stage of its row and of the rows below it."""
    return Stage(
        **fields_of(row, Stage),
        takes=inputs_of(parts.stage_inputs[row["id"]]),
        ingredients=ingredients_of(parts.ingredients[row["id"]]),
        ways=tuple(_way(each, parts) for each in parts.ways[row["id"]]),
    )


def inputs_of(rows: Sequence[Values]) -> tuple[Input, ...]:
    """Return one set of inputs."""
    return tuple(Input(**fields_of(row, Input)) for row in rows)


def ingredients_of(rows: Sequence[Values]) -> tuple[Ingredient, ...]:
    """Return what goes in."""
    return tuple(Ingredient(**fields_of(row, Ingredient)) for row in rows)


def store_ways(connection: Connection, owned: Sequence[tuple[int, Stage]]) -> None:
    """Store the inputs, ingredients and ways of stages, each given with its row's id."""
    rows: list[Values] = []
    ways: list[Way] = []
    inputs: list[Values] = []
    ingredients: list[Values] = []
    for owner, stage in owned:
        ingredients += rows_of(stage.ingredients, INGREDIENTS, stage_id=owner, beat_id=None)
        inputs += rows_of(stage.takes, INPUTS, stage_id=owner, way_id=None)
        for at, way in enumerate(stage.ways):
            rows.append(row_of(way, WAYS, position=at, stage_id=owner))
            ways.append(way)
    phases: list[Values] = []
    for owner, way in zip(insert_rows(connection, WAYS, rows), ways, strict=True):
        inputs += rows_of(way.takes or (), INPUTS, stage_id=None, way_id=owner)
        phases += rows_of(way.phases, PHASES, way_id=owner)
    insert_rows(connection, INPUTS, inputs)
    insert_rows(connection, INGREDIENTS, ingredients)
    _store_equipment(connection, ways, insert_rows(connection, PHASES, phases))


def _store_equipment(connection: Connection, ways: list[Way], phase_ids: list[int]) -> None:
    owners = iter(phase_ids)
    rows: list[Values] = []
    for way in ways:
        for phase in way.phases:
            rows += rows_of(phase.equipment, PHASE_EQUIPMENT, phase_id=next(owners))
    insert_rows(connection, PHASE_EQUIPMENT, rows)


def _way(row: Values, parts: Parts) -> Way:
    return Way(
        **fields_of(row, Way),
        phases=tuple(_phase(each, parts) for each in parts.phases[row["id"]]),
        takes=inputs_of(parts.way_inputs[row["id"]]) if row["own_inputs"] else None,
    )


def _phase(row: Values, parts: Parts) -> Phase:
    held = parts.equipment[row["id"]]
    return Phase(
        **fields_of(row, Phase),
        equipment=tuple(PhaseEquipment(**fields_of(each, PhaseEquipment)) for each in held),
    )
