"""Label sheets: how the labels that the house has lie on their sheet or roll, in millimetres.

They belong to the house, not to a production; `version` counts the changes of one.
"""

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, sized, table_of, whole


class LabelSheet(Row, table=True):
    """One kind of label sheet; a roll has one label a sheet."""

    __tablename__ = "label_sheets"
    __table_args__ = (
        UniqueConstraint("name"),
        *sized("name", high=60),
        *whole("version", low=1),
        *whole("across", "down", low=1, high=50),
        *whole("sheet_wide_mm", "sheet_high_mm", "label_wide_mm", "label_high_mm", high=1000),
        *whole("left_mm", "top_mm", "gap_across_mm", "gap_down_mm", high=1000),
    )
    id: int | None = Field(default=None, primary_key=True)
    name: str
    version: int
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


LABEL_SHEETS = table_of(LabelSheet)
