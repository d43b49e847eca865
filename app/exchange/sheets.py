"""A spreadsheet as plain values: sheets of rows of cells, whatever file they came in."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.planning.refusals.fault import DayFault, Refused

Cell = str | int | float | bool | None
Cells = tuple[Cell, ...]
MB = 1_000_000
MOST_MB = 16
MOST_ROWS = 20_000
MOST_COLUMNS = 200
MOST_CELLS = 600_000


@dataclass(frozen=True)
class Sheet:
    """One sheet; its first row has the names of its columns."""

    name: str
    rows: tuple[Cells, ...]


class Growing:
    """Counts what is read of a spreadsheet; more than anybody works with is refused."""

    def __init__(self) -> None:
        self.cells = 0

    def row(self, sheet: str, number: int, width: int, kept: int = 0) -> None:
        """Count one row: up to the last cell that says something, and what the file keeps of it.

        Raises
        ------
        Refused
            If the spreadsheet grows too large to be read.
        """
        self.cells += max(width, kept)
        if number > MOST_ROWS:
            raise refusal(sheet, f"it has more than {MOST_ROWS} rows; make several files of it")
        if width > MOST_COLUMNS:
            raise refusal(sheet, f"it has more than {MOST_COLUMNS} columns; take some out")
        if self.cells > MOST_CELLS:
            raise refusal(sheet, f"more than {MOST_CELLS} cells stand up to here; take some out")


def refusal(place: str, words: str) -> Refused:
    """Return a refusal with one fault."""
    return Refused([DayFault(place, words)])


def trimmed(cells: Sequence[Cell]) -> Cells:
    """Return a row without the empty cells at its end."""
    last = len(cells)
    while last and is_empty(cells[last - 1]):
        last -= 1
    return tuple(cells[:last])


def is_empty(cell: Cell) -> bool:
    """Tell whether nothing, or nothing but blanks, stands in a cell."""
    return cell is None or (isinstance(cell, str) and not cell.strip())
