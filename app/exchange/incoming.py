"""A day in whatever form it comes: a day file, a zip with photographs, a spreadsheet."""

from collections.abc import Callable

from app.exchange.dayfile import load_day
from app.exchange.dayzip import is_day_zip, load_day_zip
from app.exchange.sheets import refusal
from app.exchange.spreadsheet import day_of_sheets, is_day, load_sheets
from app.exchange.workbook import is_workbook
from app.planning.day import Day
from app.planning.reading import read_day

_JSON = (b"{", b"[")
_BOM = b"\xef\xbb\xbf"


def is_day_file(data: bytes) -> bool:
    """Tell whether a file looks like a day file, alone or with its photographs."""
    return is_day_zip(data) or data.lstrip(_BOM).lstrip().startswith(_JSON)


def load_any_day(
    data: bytes, name: str = "", read: Callable[[object], Day] = read_day
) -> tuple[Day, dict[str, bytes]]:
    """Return the day of a file, and the photographs that came with it, by the names it gives them.

    Parameters
    ----------
    data, name
        The bytes of the file, from whomever, and what it is called: only .csv is told by that.
    read
        How its document is read: whole, or as one that is still being built.

    Raises
    ------
    Refused
        With all that is wrong.
    """
    if is_day_zip(data):
        return load_day_zip(data, read)
    is_text = name.lower().endswith(".csv") and not is_day_file(data)
    if not is_workbook(data) and not is_text:
        return load_day(data, read), {}
    sheets = load_sheets(data)
    if not is_day(sheets):
        words = "no sheet is called Production; a breakdown of your own becomes demonstrations"
        raise refusal("the file", f"{words} under Begin a demonstration")
    return day_of_sheets(sheets, read), {}
