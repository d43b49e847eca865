"""The tables of the store, a file a noun."""

from app.storage.tables import (
    batches,
    beats,
    changes,
    copies,
    demonstrations,
    drafts,
    events,
    goods,
    kitchens,
    label_sheets,
    phases,
    plans,
    prints,
    productions,
    runs,
    stages,
    stock,
    typings,
    ways,
)
from app.storage.tables.row import Row

METADATA = Row.metadata
__all__ = [
    "METADATA",
    "batches",
    "beats",
    "changes",
    "copies",
    "demonstrations",
    "drafts",
    "events",
    "goods",
    "kitchens",
    "label_sheets",
    "phases",
    "plans",
    "prints",
    "productions",
    "runs",
    "stages",
    "stock",
    "typings",
    "ways",
]
