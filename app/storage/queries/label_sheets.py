"""The label sheets of the house."""

from typing import NamedTuple

from sqlalchemy import Connection, select

from app.storage.tables.label_sheets import LABEL_SHEETS


class LabelSheetRow(NamedTuple):
    """How labels lie on a sheet, in millimetres."""

    name: str
    sheet_wide_mm: float
    sheet_high_mm: float
    left_mm: float
    top_mm: float
    across: int
    down: int
    label_wide_mm: float
    label_high_mm: float
    gap_across_mm: float
    gap_down_mm: float


def label_sheets(connection: Connection) -> list[tuple[LabelSheetRow, int]]:
    """Return the label sheets by name, each with the number of its version."""
    of = LABEL_SHEETS.c
    read = [of[field] for field in LabelSheetRow._fields]
    rows = connection.execute(select(*read, of.version).order_by(of.name))
    return [(LabelSheetRow(*row[:-1]), row[-1]) for row in rows]
