"""The tables of the store, a file a noun."""

from app.storage.tables import (
    batches,
    beats,
    changes,
    copies,
    demonstrations,
    drafts,
    events,
    kitchens,
    phases,
    plans,
    productions,
    runs,
    stages,
    stock,
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
    "kitchens",
    "phases",
    "plans",
    "productions",
    "runs",
    "stages",
    "stock",
    "ways",
]
