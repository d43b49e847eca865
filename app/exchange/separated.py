"""Spreadsheets as .csv (RFC 4180): several sheets stand below each other in one file.

A line `Sheet,<name>` begins each of them. Cells that a spreadsheet program could take for a
formula get an apostrophe before them, which is taken off again when they are read.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence

from app.exchange.sheets import MB, MOST_MB, Cell, Cells, Growing, Sheet, refusal, trimmed

BEGINS = "Sheet"
_GUARDED = ("=", "+", "-", "@", "\t", "\r", "'")
_SEPARATORS = (",", ";", "\t")
_SNIFFED = 20
_UTF16 = (b"\xff\xfe", b"\xfe\xff")


def dump_separated(sheets: Sequence[Sheet]) -> bytes:
    """Return sheets as the bytes of a .csv file, in UTF-8 with a mark that says so.

    Every line has the same number of fields. One sheet alone has no line with its name.
    """
    lines: list[list[str]] = []
    for sheet in sheets:
        if len(sheets) > 1:
            lines += [[]] if lines else []
            lines.append([BEGINS, sheet.name])
        lines += [[_guarded(cell) for cell in row] for row in sheet.rows]
    width = max((len(line) for line in lines), default=1)
    written = io.StringIO(newline="")
    writer = csv.writer(written, lineterminator="\r\n")
    for line in lines:
        writer.writerow([*line, *[""] * (width - len(line))])
    return b"\xef\xbb\xbf" + written.getvalue().encode("utf-8")


def _guarded(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return "'" + cell if cell.startswith(_GUARDED) else cell
    return repr(cell)


def _unguarded(cell: str) -> Cell:
    if cell.startswith("'") and cell[1:2] in _GUARDED:
        return cell[1:]
    return cell or None


def load_separated(data: bytes) -> list[Sheet]:
    """Return the sheets of a .csv file, from whomever; `;` and tabs may separate it as well.

    Raises
    ------
    Refused
        If it can't be read, or is too large.
    """
    if len(data) > MOST_MB * MB:
        size = f"{len(data) / MB:.1f} MB"
        raise refusal("the file", f"{size} are too many; {MOST_MB} MB at most, so make it smaller")
    text = _text(data)
    if not text.strip():
        raise refusal("the file", "it is empty; look whether it was saved where it was made")
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text))
    try:
        return list(_sheets(lines))
    except csv.Error as error:
        place = f"line {lines.line_num}"
        raise refusal(place, f"it can't be read ({error}); look for a quote too many") from None


def _text(data: bytes) -> str:
    encodings = ("utf-16",) if data.startswith(_UTF16) else ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise refusal("the file", "it is neither .xlsx nor plain text; save it as one of these")


def _separator(text: str) -> str:
    """Return what separates the fields: what stands most often in the first lines."""
    head = "\n".join(text.split("\n", _SNIFFED)[:_SNIFFED])
    bare = "".join(head.split('"')[::2])
    return max(_SEPARATORS, key=bare.count)


def _sheets(lines: Iterable[list[str]]) -> Iterator[Sheet]:
    growing, name, has_names, rows = Growing(), "", False, list[Cells]()
    for number, line in enumerate(lines, 1):
        cells = trimmed([_unguarded(cell) for cell in line])
        growing.row(name or "the file", number, len(cells))
        is_begin = len(cells) == 2 and cells[0] == BEGINS
        if is_begin and (has_names or number == 1):
            if has_names:
                yield _ended(name, rows)
            name, has_names, rows = str(cells[1]), True, []
        else:
            rows.append(cells)
    yield _ended(name, rows)


def _ended(name: str, rows: list[Cells]) -> Sheet:
    while rows and not rows[-1]:
        rows.pop()
    return Sheet(name, tuple(rows))
