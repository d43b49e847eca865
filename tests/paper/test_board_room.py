"""Room on the prep board: what is reckoned to fit does, snug where a day then takes one sheet."""

import re
from collections.abc import Iterator
from typing import Any

import pytest

from app.paper import board, face
from app.paper.board_columns import Column
from app.paper.board_pages import idle_mm
from app.paper.book import Book
from app.paper.letters import Badge
from app.paper.lines import PADS_MM, Line, Then, high_mm
from app.paper.measuring import wide_mm
from app.paper.pdf import sheet
from app.paper.setting import CLOSE, ROOMY, SNUG, Setting
from tests.live import ROOT
from tests.paper.days import hard_day
from tests.paper.naive import naive
from tests.paper.opened import Opened

PRINTED = "2027-03-03T18:05"
HOUR = re.compile(r"\d\d:\d\d")


def test_a_day_that_then_stands_on_one_sheet_is_set_snug() -> None:
    """Words of 9 pt, times as large as ever."""
    day = hard_day(cooks=5)
    plan = naive(day)
    found = board.pages(day, plan, sheet("letter"))
    assert [page.setting.name for page in found] == ["roomy", "close snug"]
    opened = Opened(board.draw(day, plan, PRINTED, "letter"))
    assert len(opened.pages) == len(found)
    pieces = opened.pieces(1)
    assert {round(piece.points * 2) / 2 for piece in pieces} <= {9, 10, 11.5, 18}
    times = [piece for piece in pieces if HOUR.fullmatch(piece.text)]
    assert times
    assert all(piece.points >= 17.99 for piece in times)


@pytest.mark.parametrize(
    ("page", "date"),
    [("close", "Wednesday 30 September 2027"), ("parted", "Wednesday 30 September 2027 12 of 12")],
)
def test_the_head_leaves_room_for_the_longest_date(page: str, date: str) -> None:
    """On Letter, the narrowest sheet; the date stands on the line of the head."""
    css = (ROOT / "static" / "print.css").read_text("utf-8")
    told = re.search(rf"@page {page} .*?@top-left {{ width: (\d+)% }}", css)
    assert told is not None
    date = date.replace(" 12 of", ", people 12 of")
    room_mm = (sheet("letter").high_mm - board.EDGES_MM) * (100 - int(told[1])) / 100
    assert wide_mm(date, 18, is_bold=True) <= room_mm


def test_who_has_nothing_stands_above_the_columns_and_takes_its_room() -> None:
    """However many they are."""
    names = tuple(f"A cook with a long name {each}" for each in range(12))
    assert idle_mm((), 259, CLOSE) == 0
    assert 2 * idle_mm(names[:1], 259, CLOSE) <= idle_mm(names, 259, CLOSE)


def test_a_row_stands_no_higher_than_is_reckoned_however_wide() -> None:
    """Else a page would be overfull: what does not fit on a line leaves the words before it alone.

    Heights are those of the boxes that are drawn, 96 of their pixels an inch.
    """
    then = Then("ready", "09:16", "dough (machine), step 3", is_ticked=True)
    line = Line(
        starts="07:48",
        badge=Badge("TT", "#fff"),
        stage_code="do",
        tags="TT-7 to TT-10, 4 copies",
        also=("TT-11 to TT-14, 4 copies",),
        stage="",
        does="dough (machine), step 2.",
        items="mixer-2b",
        others="",
        cautions=("Switch off before hands go in.",),
        ends="until",
        until="Thu 08:01",
        is_reminder=False,
        then=(then,),
    )
    cases = [(set_as, wide) for set_as in (ROOMY, CLOSE, SNUG) for wide in range(45, 120, 2)]
    rows = [_as_drawn(line, set_as, wide) for set_as, wide in cases]
    html = f'<html><body class="board">{"".join(rows)}</body></html>'
    drawn = [box for page in Book(297, 2000).laid_out(html) for box in _rows_of(page._page_box)]
    assert len(drawn) == len(cases)
    for (set_as, wide), box in zip(cases, drawn, strict=True):
        assert box.height / 96 * 25.4 <= high_mm(line, wide, set_as), (set_as.name, wide)


def _as_drawn(line: Line, set_as: Setting, wide_mm: int) -> str:
    column = Column("one", "One", (), wide_mm=wide_mm)
    row = face.page("_line.html", line=line, setting=set_as, column=column)
    return (
        f'<div class="{set_as.name}" style="page: board; width: {wide_mm - PADS_MM}mm">{row}</div>'
    )


def _rows_of(box: Any) -> Iterator[Any]:
    """Yield the boxes of rows as they were laid out."""
    if box.element is not None and "line" in (box.element.get("class") or "").split():
        yield box
        return
    for inner in getattr(box, "children", ()):
        yield from _rows_of(inner)
