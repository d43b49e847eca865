"""Demonstrations to rows and back."""

from collections.abc import Sequence

from sqlalchemy import Connection

from app.planning.day import Beat, Demonstration, Leaving, Need, Stage
from app.storage.tables.beats import BEATS, LEAVINGS, NEEDS
from app.storage.tables.demonstrations import DEMONSTRATIONS
from app.storage.tables.ingredients import INGREDIENTS
from app.storage.tables.stages import STAGES
from app.storage.translate.rows import Values, fields_of, insert_rows, rows_below, rows_of
from app.storage.translate.stages import ingredients_of, parts_of, stage_from, store_ways

OWNER = DEMONSTRATIONS.c.production_id


def store_demonstrations(
    connection: Connection, demonstrations: Sequence[Demonstration], production: int, first: int = 0
) -> None:
    """Store demonstrations of a production; the first one gets position `first`."""
    rows = rows_of(demonstrations, DEMONSTRATIONS, production_id=production)
    for at, row in enumerate(rows):
        row["position"] = first + at
    ids = insert_rows(connection, DEMONSTRATIONS, rows)
    owned = list(zip(ids, demonstrations, strict=True))
    _store_stages(connection, owned)
    _store_beats(connection, owned)


def demonstrations_of(connection: Connection, production: int) -> tuple[Demonstration, ...]:
    """Return the demonstrations of a production."""
    parts = parts_of(connection, production)
    stages = rows_below(connection, production, STAGES.c.demonstration_id, OWNER)
    beats = rows_below(connection, production, BEATS.c.demonstration_id, OWNER)
    route = (BEATS.c.demonstration_id, OWNER)
    needs = rows_below(connection, production, NEEDS.c.beat_id, *route)
    leavings = rows_below(connection, production, LEAVINGS.c.beat_id, *route)
    ingredients = rows_below(connection, production, INGREDIENTS.c.beat_id, *route)

    def beat(row: Values) -> Beat:
        return Beat(
            **fields_of(row, Beat),
            needs=tuple(Need(**fields_of(each, Need)) for each in needs[row["id"]]),
            ingredients=ingredients_of(ingredients[row["id"]]),
            leaves=tuple(Leaving(**fields_of(each, Leaving)) for each in leavings[row["id"]]),
        )

    return tuple(
        Demonstration(
            **fields_of(row, Demonstration),
            stages=tuple(stage_from(each, parts) for each in stages[row["id"]]),
            beats=tuple(beat(each) for each in beats[row["id"]]),
        )
        for row in rows_below(connection, production, OWNER)[production]
    )


def _store_stages(connection: Connection, owned: list[tuple[int, Demonstration]]) -> None:
    rows: list[Values] = []
    stages: list[Stage] = []
    for owner, demonstration in owned:
        rows += rows_of(demonstration.stages, STAGES, demonstration_id=owner)
        stages += demonstration.stages
    ids = insert_rows(connection, STAGES, rows)
    store_ways(connection, list(zip(ids, stages, strict=True)))


def _store_beats(connection: Connection, owned: list[tuple[int, Demonstration]]) -> None:
    rows: list[Values] = []
    beats: list[Beat] = []
    for owner, demonstration in owned:
        rows += rows_of(demonstration.beats, BEATS, demonstration_id=owner)
        beats += demonstration.beats
    needs: list[Values] = []
    leavings: list[Values] = []
    ingredients: list[Values] = []
    for owner, beat in zip(insert_rows(connection, BEATS, rows), beats, strict=True):
        needs += rows_of(beat.needs, NEEDS, beat_id=owner)
        ingredients += rows_of(beat.ingredients, INGREDIENTS, stage_id=None, beat_id=owner)
        leavings += rows_of(beat.leaves, LEAVINGS, beat_id=owner)
    insert_rows(connection, NEEDS, needs)
    insert_rows(connection, LEAVINGS, leavings)
    insert_rows(connection, INGREDIENTS, ingredients)
