"""The batches and copies of a plan to rows, for screens that list them."""

from sqlalchemy import Connection

from app.planning.plan import Part, Plan
from app.storage.tables.batches import BATCHES, PLANNED_PHASES
from app.storage.tables.copies import COPIES
from app.storage.translate.rows import Values, insert_rows


def store_batches(connection: Connection, plan: Plan, plan_id: int) -> None:
    """Store the batches of a plan and their phases."""
    rows = [
        _named(batch, "demonstration", "stage", "way", "consumes")
        | {"plan_id": plan_id, "position": at, "key": batch.id, "count": len(batch.copies)}
        | {"starts": batch.starts, "ends": batch.ends}
        for at, batch in enumerate(plan.batches)
    ]
    phases: list[Values] = []
    for batch_id, batch in zip(insert_rows(connection, BATCHES, rows), plan.batches, strict=True):
        phases += [
            _named(phase, "starts", "ends", "crew", "equipment", "places")
            | {"batch_id": batch_id, "position": at}
            for at, phase in enumerate(batch.phases)
        ]
    insert_rows(connection, PLANNED_PHASES, phases)


def store_copies(connection: Connection, plan: Plan, plan_id: int) -> None:
    """Store the copies of a plan."""
    told = ("tag", "demonstration", "stage", "staged_at", "role", "made_by", "taken_by", "places")
    rows = [
        _named(copy, *told)
        | {"plan_id": plan_id, "position": at, "key": copy.id, "batch": copy.made_by.batch}
        for at, copy in enumerate(plan.copies)
    ]
    insert_rows(connection, COPIES, rows)


def _named(part: Part, *names: str) -> Values:
    """Return fields of a part as JSON values; what is absent inside of them is left out."""
    said = part.model_dump(mode="json", by_alias=True, exclude_none=True, include=set(names))
    return {name: said.get(name) for name in names}
