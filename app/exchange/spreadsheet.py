"""A day as a spreadsheet and back: a sheet a noun, and nothing is lost on the way."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from app.exchange.cells import FORMS, read_word
from app.exchange.columns import DAY, Column, Noun, nouns
from app.exchange.separated import load_separated
from app.exchange.sheets import Cell, Cells, Sheet, is_empty
from app.exchange.workbook import is_workbook, load_workbook_file
from app.planning.canonical import document as document_of
from app.planning.day import Day
from app.planning.reading import read_day
from app.planning.refusals.fault import DayFault, Refused, meant, nearest, shown

Document = dict[str, Any]
Address = tuple[str, ...]
Found = dict[Address, tuple[Document, str]]


def sheets_of(day: Day) -> list[Sheet]:
    """Return a day as sheets; those that would be empty are left out."""
    rows: dict[str, list[Cells]] = {noun.sheet: [] for noun in nouns()}
    _fill(rows, DAY, document_of(day), (), "")
    return [
        Sheet(noun.sheet, (noun.heads, *rows[noun.sheet])) for noun in nouns() if rows[noun.sheet]
    ]


def _fill(
    rows: dict[str, list[Cells]], noun: Noun, told: Document, address: Address, mark: str
) -> None:
    rows[noun.sheet].append((*address, *(_cell(column, told) for column in noun.columns)))
    inner = () if noun is DAY else (*address, mark)
    for part in noun.parts:
        for number, entry in enumerate(_at(told, part.path) or [], 1):
            _fill(rows, part, entry, inner, entry["id"] if part.called else str(number))


def _cell(column: Column, told: Document) -> Cell:
    value = _at(told, column.path)
    return None if value is None else FORMS[column.form][0](value)


def _at(told: Document, path: tuple[str, ...]) -> Any:
    here: Any = told
    for key in path:
        here = here.get(key) if isinstance(here, dict) else None
    return here


def load_sheets(data: bytes) -> list[Sheet]:
    """Return the sheets of an .xlsx or .csv file, from whomever.

    Raises
    ------
    Refused
        If it is neither, or not safe to read.
    """
    return load_workbook_file(data) if is_workbook(data) else load_separated(data)


def is_day(sheets: Sequence[Sheet]) -> bool:
    """Tell whether sheets are a day's own, as `sheets_of` makes them."""
    return DAY.sheet in {sheet.name for sheet in sheets}


def day_of_sheets(sheets: Sequence[Sheet], read: Callable[[object], Day] = read_day) -> Day:
    """Return the day that its own sheets tell.

    Raises
    ------
    Refused
        With all that is wrong, by sheet and row.
    """
    reader = _Reader(sheets)
    document = reader.document()
    if reader.faults:
        raise Refused(reader.faults)
    try:
        return read(document)
    except Refused as refused:
        raise Refused(map(reader.placed, refused.faults), refused.more) from None


class _Reader:
    """Reads the sheets of a day into the document of a day file."""

    def __init__(self, sheets: Sequence[Sheet]) -> None:
        self.sheets = {sheet.name: sheet for sheet in sheets}
        self.faults: list[DayFault] = []
        self.rows: dict[str, str] = {}
        known = [noun.sheet for noun in nouns()]
        names = [sheet.name for sheet in sheets]
        for name in {name for name in names if names.count(name) > 1}:
            self.faults.append(DayFault(name, "this sheet stands twice; put its rows into one"))
        for name in self.sheets:
            if name not in known and (near := nearest(name, known)):
                self.faults.append(DayFault(name, f"no such sheet; did you mean {shown(near)}?"))

    def document(self) -> Document:
        """Return the document, as far as the sheets tell it."""
        day: Document = {"format": "day/1"}
        for number, row in enumerate(self._rows(DAY)):
            if number:
                self.faults.append(DayFault(row.place, "a file holds one production; take it out"))
            _put(day, DAY.columns, row.cells)
        for part in DAY.parts:
            self._read(part, {(): (day, "")})
        return day

    def _read(self, noun: Noun, parents: Found) -> None:
        found: Found = {}
        if noun.is_needed:
            for parent, _ in parents.values():
                parent.setdefault(noun.path[-1], [])
        for row in self._rows(noun):
            if row.address not in parents:
                said = " / ".join(filter(None, row.address)) or "an empty cell"
                words = f"{shown(said)} is in no row before; look at {', '.join(noun.address)}"
                self.faults.append(DayFault(row.place, words))
                continue
            parent, path = parents[row.address]
            entry: Document = {}
            _put(entry, noun.columns, row.cells)
            entries = _list(parent, noun.path)
            here = f"{path}.{'.'.join(noun.path)}[{len(entries)}]".removeprefix(".")
            entries.append(entry)
            self.rows[here] = row.place
            mark = str(entry.get("id")) if noun.called else str(len(entries))
            found.setdefault((*row.address, mark), (entry, here))
        for part in noun.parts:
            self._read(part, found)

    def _rows(self, noun: Noun) -> Iterator["_Row"]:
        """Yield the rows of a sheet, their cells in the order of the noun's columns."""
        sheet = self.sheets.get(noun.sheet, Sheet(noun.sheet, ()))
        at = self._columns(noun, sheet)
        named = {number for number, cell in enumerate(sheet.rows[0] if sheet.rows else ()) if cell}
        for number, row in enumerate(sheet.rows[1:], 2):
            stray = [cell for place, cell in enumerate(row) if place not in named]
            for cell in (cell for cell in stray if not is_empty(cell)):
                words = f"{shown(cell)} stands in a column without a name; name it or take it out"
                self.faults.append(DayFault(f"{noun.sheet}, row {number}", words))
            cells = [row[at[head]] if at.get(head, len(row)) < len(row) else None
                     for head in noun.heads]  # fmt: skip
            if not all(map(is_empty, cells)):
                address = tuple(_mark(cell) for cell in cells[: len(noun.address)])
                yield _Row(f"{noun.sheet}, row {number}", address, cells[len(noun.address) :])

    def _columns(self, noun: Noun, sheet: Sheet) -> dict[str, int]:
        """Return where each column stands; a name that is none of them is a fault."""
        known = {head.casefold(): head for head in noun.heads}
        at: dict[str, int] = {}
        for number, cell in enumerate(sheet.rows[0] if sheet.rows else ()):
            if is_empty(cell):
                continue
            said = str(cell).strip()
            head = known.get(said.casefold())
            if head is None or head in at:
                words = "stands twice" if head else meant(said, noun.heads, "take it out")
                self.faults.append(DayFault(f"{noun.sheet}, column {shown(said)}", words))
            else:
                at[head] = number
        return at

    def placed(self, fault: DayFault) -> DayFault:
        """Return a fault of the document with the row that it stands in."""
        place, inner = fault.place, ""
        while place and place not in self.rows:
            cut = max(place.rfind("."), place.rfind("["))
            place, inner = place[: max(cut, 0)], place[cut:].lstrip(".") + inner
        if not place:
            return fault
        return DayFault(f"{self.rows[place]}, {inner}" if inner else self.rows[place], fault.words)


@dataclass(frozen=True)
class _Row:
    """A row of a sheet: where it stands, what it belongs to, what it says."""

    place: str
    address: Address
    cells: list[Cell]


def _mark(cell: Cell) -> str:
    """Return what an id or a number in a cell calls."""
    return "" if is_empty(cell) else str(read_word(cell))


def _put(entry: Document, columns: Sequence[Column], cells: Sequence[Cell]) -> None:
    for column, cell in zip(columns, cells, strict=True):
        if not is_empty(cell):
            inner = entry
            for key in column.path[:-1]:
                inner = inner.setdefault(key, {})
            inner[column.path[-1]] = FORMS[column.form][1](cell)


def _list(parent: Document, path: tuple[str, ...]) -> list[Document]:
    for key in path[:-1]:
        parent = parent.setdefault(key, {})
    entries: list[Document] = parent.setdefault(path[-1], [])
    return entries
