"""Spreadsheets as .xlsx: written as texts and numbers, never as formulas; read with suspicion.

The library is imported where it is used: a server should not wait for it when it starts.
"""

import io
import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from typing import Any

from app.exchange.sheets import (
    MB,
    MOST_MB,
    Cell,
    Cells,
    Growing,
    Sheet,
    refusal,
    trimmed,
)
from app.planning.refusals.fault import Refused

MOST_UNPACKED_MB = 100
MOST_PARTS = 400
LONGEST_CELL = 32_767
WIDEST = 60
_UNSHOWN = re.compile(rb"<f(?:\s[^<>]*)?(?:/>|>[^<]*</f>)\s*(?:<v\s*/>|<v>\s*</v>)?\s*</c>")
_STARTS_A_FORMULA = ("=", "+", "-", "@")


def is_workbook(data: bytes) -> bool:
    """Tell whether a file is packed as .xlsx files are."""
    return data.startswith(b"PK\x03\x04")


def dump_workbook(sheets: Iterable[Sheet]) -> bytes:
    """Return sheets as the bytes of an .xlsx file.

    Raises
    ------
    Refused
        If a text is too long for a cell.
    """
    from openpyxl import Workbook
    from openpyxl.utils import get_column_letter

    sheets = list(sheets)
    for sheet in sheets:
        _check_lengths(sheet)
    book = Workbook(write_only=True)
    book.properties.creator = "Stagelarder"
    for sheet in sheets:
        made = book.create_sheet(sheet.name)
        made.freeze_panes = "A2"
        for column, width in enumerate(_widths(sheet.rows), 1):
            made.column_dimensions[get_column_letter(column)].width = width
        for number, row in enumerate(sheet.rows):
            made.append([_written(made, cell, is_head=number == 0) for cell in row])
    written = io.BytesIO()
    book.save(written)
    return written.getvalue()


def _widths(rows: tuple[Cells, ...]) -> list[int]:
    widths: dict[int, int] = {}
    for row in rows:
        for column, cell in enumerate(row):
            widths[column] = max(widths.get(column, 8), min(WIDEST, len(str(cell or "")) + 2))
    return [widths[column] for column in sorted(widths)]


def _check_lengths(sheet: Sheet) -> None:
    for row in sheet.rows:
        for cell in row:
            if isinstance(cell, str) and len(cell) > LONGEST_CELL:
                words = f"a text of {len(cell)} characters fits into no cell; take the day file"
                raise refusal(sheet.name, words)


def _written(made: Any, cell: Cell, is_head: bool) -> Any:
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Font

    if isinstance(cell, float) and float(f"{cell:.16g}") != cell:
        cell = repr(cell)  # The library writes sixteen digits, and some numbers need one more.
    written = WriteOnlyCell(made, value=cell)
    if isinstance(cell, str):
        written.data_type = "s"
        written.quotePrefix = cell.startswith(_STARTS_A_FORMULA)
    if is_head:
        written.font = Font(bold=True)
    return written


def load_workbook_file(data: bytes) -> list[Sheet]:
    """Return the sheets of an .xlsx file, from whomever; of formulas, what they last showed.

    A formula of which the file does not keep that stands there itself, so that it can be told.

    Raises
    ------
    Refused
        If it is no such file, or none that is safe to read.
    """
    _check_packed(data)
    try:
        shown = _sheets(data, is_shown=True)
        if not _has_unshown(data):
            return shown
        both = zip(shown, _sheets(data, is_shown=False), strict=True)
        return [_with_formulas(each, formulas) for each, formulas in both]
    except Refused:
        raise
    except Exception as error:  # Whatever the library stumbles over in bytes from anywhere.
        words = "it can't be read as a spreadsheet; open it where it was made, save it as .xlsx"
        raise refusal("the file", words) from error


def _sheets(data: bytes, *, is_shown: bool) -> list[Sheet]:
    """Return the sheets with what formulas show, or with the formulas."""
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=is_shown)
        growing = Growing()
        return [Sheet(each.title, tuple(_rows(each, growing))) for each in book.worksheets]


def _has_unshown(data: bytes) -> bool:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        parts = (name for name in packed.namelist() if name.startswith("xl/worksheets/"))
        return any(_UNSHOWN.search(packed.read(name)) for name in parts)


def _with_formulas(shown: Sheet, formulas: Sheet) -> Sheet:
    """Return a sheet with the formulas of which nothing is shown."""
    rows = []
    for number, row in enumerate(formulas.rows):
        there = shown.rows[number] if number < len(shown.rows) else ()
        known = (*there, *[None] * (len(row) - len(there)))
        both = zip(known, row, strict=True)
        rows.append(tuple(cell if seen is None else seen for seen, cell in both))
    return Sheet(shown.name, tuple(rows))


def _check_packed(data: bytes) -> None:
    if len(data) > MOST_MB * MB:
        size = f"{len(data) / MB:.1f} MB"
        raise refusal("the file", f"{size} are too many; {MOST_MB} MB at most, so make it smaller")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            parts = packed.infolist()
    except (zipfile.BadZipFile, zipfile.LargeZipFile, ValueError, OSError, NotImplementedError):
        raise refusal("the file", "it is cut off or no .xlsx file; save it once more") from None
    unpacked = sum(part.file_size for part in parts)
    if len(parts) > MOST_PARTS or unpacked > MOST_UNPACKED_MB * MB:
        words = f"unpacked it would be {unpacked / MB:.0f} MB in {len(parts)} parts; it is not read"
        raise refusal("the file", words)


def _rows(sheet: Any, growing: Growing) -> Iterator[Cells]:
    empty: list[Cells] = []
    for number, row in enumerate(sheet.iter_rows(values_only=True), 1):
        cells = trimmed([_plain(value) for value in row])
        growing.row(sheet.title, number, len(cells), len(row))
        if cells:
            yield from empty
            empty = []
            yield cells
        else:
            empty.append(cells)


def _plain(value: object) -> Cell:
    """Return what a cell shows as a text or number; times as people type them."""
    if value is None or isinstance(value, str | int | float | bool):
        return value
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        return value.isoformat(timespec="minutes")
    if isinstance(value, timedelta):
        minutes = round(value.total_seconds() / 60)
        return f"{minutes // 60}:{minutes % 60:02d}"
    return str(value)
