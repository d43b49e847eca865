"""Spreadsheets from anybody: what is not safe to read is refused in a sentence."""

import io
import random
import zipfile
from contextlib import suppress

import pytest

from app.exchange.separated import dump_separated
from app.exchange.sheets import Sheet
from app.exchange.spreadsheet import load_sheets
from app.exchange.workbook import dump_workbook
from app.planning.reading import Refused

GOOD = [Sheet("S", (("A", "B"), ("x", 1), ("y", 2.5)))]
_SHEET = "xl/worksheets/sheet1.xml"
_ROWS = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'


def _with_sheet(written: str) -> bytes:
    """Return a workbook whose only sheet is written so."""
    packed = zipfile.ZipFile(io.BytesIO(dump_workbook(GOOD)))
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as out:
        for part in packed.namelist():
            out.writestr(part, written if part == _SHEET else packed.read(part))
    return made.getvalue()


def _cell(place: str) -> str:
    return f'<c r="{place}" t="inlineStr"><is><t>x</t></is></c>'


def _refusal(data: bytes) -> str:
    with pytest.raises(Refused) as refused:
        load_sheets(data)
    return str(refused.value)


def test_a_small_file_that_unpacks_to_gigabytes_is_not_unpacked() -> None:
    """A bomb is told by what its parts say they weigh, before any is opened."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as out:
        for number in range(3):
            out.writestr(f"xl/{number}.xml", bytes(100_000_000))
    assert made.tell() < 1_000_000
    assert "unpacked it would be 300 MB" in _refusal(made.getvalue())


def test_a_sheet_of_a_million_rows_is_not_read() -> None:
    """Nor is one whose only cell stands a million rows down."""
    many = _ROWS + "<row><c><v>1</v></c></row>" * 1_000_000 + "</sheetData></worksheet>"
    far = f'{_ROWS}<row r="1048576">{_cell("A1048576")}</row></sheetData></worksheet>'
    for written in (many, far):
        assert "more than 20000 rows" in _refusal(_with_sheet(written))
    assert "more than 20000 rows" in _refusal(b"a,b\n" * 30_000)


def test_a_sheet_of_too_many_columns_is_not_read() -> None:
    """A cell at the far right does not make every row as wide."""
    wide = f'{_ROWS}<row r="1">{_cell("A1")}{_cell("GT1")}</row></sheetData></worksheet>'
    assert "more than 200 columns" in _refusal(_with_sheet(wide))
    hollow = f'<row>{_cell("A1")}<c r="XFD1"/></row>'.replace('r="A1"', "")
    assert "more than 600000 cells" in _refusal(
        _with_sheet(_ROWS + hollow * 9000 + "</sheetData></worksheet>")
    )
    assert "more than 200 columns" in _refusal(b"a," * 300 + b"b\n")


def test_entities_that_multiply_are_refused() -> None:
    """The XML of a sheet may not define a text that unfolds to gigabytes."""
    kinds = '<!ENTITY a0 "haha">' + "".join(
        f'<!ENTITY a{n} "{f"&a{n - 1};" * 20}">' for n in range(1, 9)
    )
    row = "<row><c t='str'><v>&a8;</v></c></row></sheetData></worksheet>"
    bomb = f"<!DOCTYPE x [{kinds}]>{_ROWS}{row}"
    assert "can't be read as a spreadsheet" in _refusal(_with_sheet(bomb))


NO_SHEETS = [b"PK\x03\x04", b"PK\x03\x04" + bytes(100), b"\0\1\2", b"a\0b", b"", b"\xef\xbb\xbf \n"]


@pytest.mark.parametrize("data", NO_SHEETS)
def test_what_is_no_spreadsheet_is_refused(data: bytes) -> None:
    """Cut off, or something else."""
    assert "the file: it is" in _refusal(data)


def test_a_damaged_file_is_read_or_refused() -> None:
    """Bytes that changed on the way never end in anything but a sentence."""
    roll = random.Random(4)
    for whole in (dump_workbook(GOOD), dump_separated(GOOD)):
        for _ in range(150):
            data = bytearray(whole)
            for _ in range(roll.choice((1, 3, 20))):
                data[roll.randrange(len(data))] = roll.randrange(256)
            cut = bytes(data[: roll.choice((len(data), roll.randrange(len(data))))])
            with suppress(Refused):
                load_sheets(cut)


def test_too_many_bytes_are_refused_by_their_weight() -> None:
    """Sixteen megabytes at most, as for a day."""
    assert "17.0 MB are too many" in _refusal(b"a" * 17_000_000)
    assert "are too many" in _refusal(b"PK\x03\x04" + bytes(17_000_000))


def test_a_field_without_end_is_refused() -> None:
    """A quote that is never closed swallows the rest."""
    assert "look for a quote too many" in _refusal(b'a,b\n"' + b"x" * 200_000)


def test_a_text_too_long_for_a_cell_is_not_cut() -> None:
    """It is refused when it is written, since it would be lost."""
    with pytest.raises(Refused, match="fits into no cell"):
        dump_workbook([Sheet("S", (("A",), ("x" * 40_000,)))])
