"""What every paper has in common: size, structure, fonts, and that nothing is fetched."""

import re
import sys
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest

from app.paper import allergens, board, breakdown, pulls, runsheet, shelves, shopping
from app.paper.book import Book
from app.paper.pdf import NoPaper, UnknownSize, laid_out, sheet
from app.planning.day import Day
from app.planning.plan import Plan
from tests.paper.days import HOSTILE, hard_day
from tests.paper.naive import naive
from tests.paper.opened import Opened

PRINTED = "2027-03-03T18:05"
DRAWERS = {
    "board": board.draw,
    "pulls": pulls.draw,
    "shelves": shelves.draw,
    "runsheet": runsheet.draw,
    "breakdown": breakdown.draw,
    "allergens": allergens.draw,
    "shopping": shopping.draw,
}
# ISO 216 for A4 and A3; 8.5 × 11 in and 11 × 17 in (ANSI/ASME Y14.1) at 25.4 mm an inch.
UPRIGHT_MM = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
}


@pytest.fixture(scope="module")
def drawn(knots_day: Day, knots_plan: Plan) -> dict[str, Opened]:
    """Return each paper of the knots day on A4."""
    return {
        paper: Opened(draw(knots_day, knots_plan, PRINTED, "A4")) for paper, draw in DRAWERS.items()
    }


@pytest.fixture
def outside() -> Iterator[tuple[str, list[str]]]:
    """Yield the address of a server on this machine, and what it was asked for."""
    asked: list[str] = []

    class Listener(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200)
            self.end_headers()

        def log_message(self, *_: object) -> None:
            return

    server = HTTPServer(("127.0.0.1", 0), Listener)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}", asked
    server.shutdown()
    server.server_close()


@pytest.mark.parametrize("size", UPRIGHT_MM)
def test_a_board_lies_on_its_long_side(knots_day: Day, knots_plan: Plan, size: str) -> None:
    """Each size that the board comes in, turned."""
    wide, high = UPRIGHT_MM[size]
    opened = Opened(board.draw(knots_day, knots_plan, PRINTED, size))
    assert opened.sizes_mm == {(high, wide)}


@pytest.mark.parametrize("paper", ["pulls", "shelves", "breakdown"])
@pytest.mark.parametrize("size", ["A4", "letter"])
def test_a_list_and_a_map_stand_upright(
    knots_day: Day, knots_plan: Plan, paper: str, size: str
) -> None:
    """The size may be written small or large."""
    opened = Opened(DRAWERS[paper](knots_day, knots_plan, PRINTED, size))
    assert opened.sizes_mm == {UPRIGHT_MM[size.capitalize()]}


def test_a_size_that_nobody_prints_on_is_told_in_a_sentence() -> None:
    """The sentence names what was asked for and what there is."""
    with pytest.raises(UnknownSize, match="no sheet 'A7'; paper comes as A4, A3, Letter, Tabloid"):
        sheet("A7")


@pytest.mark.parametrize("paper", DRAWERS)
def test_every_page_says_what_it_is_of(drawn: dict[str, Opened], paper: str) -> None:
    """Production, plan number, print time, page n of m, the void warning and the allergens."""
    pages = drawn[paper].pages
    for number, words in enumerate(pages, start=1):
        assert "Harvest hour" in words
        assert "plan 1" in words
        assert "printed 3 March 2027, 18:05" in words
        assert f"page {number} of {len(pages)}" in words
        assert "A sheet with a lower plan number is void." in words
        assert "nobody is checked against allergens" in words


@pytest.mark.parametrize("paper", DRAWERS)
def test_a_paper_says_once_who_decides(drawn: dict[str, Opened], paper: str) -> None:
    """Local food law, the venue and licensed people: once a paper."""
    sentence = "Local food law, the venue’s own rules and licensed people decide"
    assert drawn[paper].words.count(sentence) == 1


@pytest.mark.parametrize("paper", ["board", "pulls", "breakdown"])
def test_a_caution_stands_where_the_work_is_read(paper: str) -> None:
    """The day's own words for a step that can hurt, and the usual ones where it has none."""
    day = hard_day(title="Two days")
    words = Opened(DRAWERS[paper](day, naive(day), PRINTED, "A4")).words
    assert "Fold, turn and wait; fold, turn and wait, and mind that nothing sticks" in words
    assert "Raw: its own board and knife" in words


@pytest.mark.parametrize("paper", DRAWERS)
def test_a_paper_is_tagged_with_title_and_language(drawn: dict[str, Opened], paper: str) -> None:
    """A reader that speaks can find its way through it."""
    opened = drawn[paper]
    assert opened.root["/Lang"] == "en"
    assert opened.root["/MarkInfo"]["/Marked"]
    assert opened.root["/StructTreeRoot"]["/K"]
    assert opened.root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert opened.reader.metadata is not None
    assert "Harvest hour" in str(opened.reader.metadata.title)


@pytest.mark.parametrize("paper", DRAWERS)
def test_a_paper_carries_its_own_face(drawn: dict[str, Opened], paper: str) -> None:
    """All fonts are embedded, and all are the one face, so prints are the same everywhere."""
    fonts = drawn[paper].fonts()
    assert all(fonts.values())
    assert fonts.keys()
    assert all("Hyperlegible" in name for name in fonts)


@pytest.mark.parametrize("paper", DRAWERS)
def test_a_paper_has_four_sizes_of_type(drawn: dict[str, Opened], paper: str) -> None:
    """10, 11.5, 18 and 26 pt, as the look asks for four sizes; nothing is smaller than 10."""
    opened = drawn[paper]
    used = {
        round(piece.points * 2) / 2
        for page in range(len(opened.pages))
        for piece in opened.pieces(page)
    }
    assert used <= {10.0, 11.5, 18.0, 26.0}


@pytest.mark.parametrize("paper", DRAWERS)
def test_names_that_look_like_a_page_are_only_names(paper: str) -> None:
    """Markup in a name is printed as it was typed, and draws no picture."""
    day = hard_day(title=HOSTILE)
    opened = Opened(DRAWERS[paper](day, naive(day), PRINTED, "A4"))
    assert "<script>alert(1)" in opened.words
    assert "root:" not in opened.words
    assert not any(page.images for page in opened.reader.pages)


def test_nothing_is_fetched(outside: tuple[str, list[str]]) -> None:
    """Even where markup got into the page, no address of the network or of the disk is read."""
    address, asked = outside
    html = (
        f'<link rel="stylesheet" href="{address}/a.css"><img src="{address}/b.png">'
        '<img src="file:///etc/passwd"><object data="file:///etc/passwd"></object>'
        f"<style>@import url({address}/c.css); p {{ background: url({address}/d.png) }}</style>"
        "<p>Only this.</p>"
    )
    book = Book(210, 297)
    for page in book.laid_out(f"<html lang=en><title>x</title>{html}</html>"):
        book.add(page)
    opened = Opened(book.written())
    assert asked == []
    assert opened.words == "Only this."


def test_a_machine_without_the_libraries_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """The sentence names what to install; the module itself could be imported all the same."""
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(NoPaper, match="apt-get install libpango"):
        laid_out("<p>x</p>", 210, 297)


@pytest.mark.parametrize("paper", DRAWERS)
def test_an_empty_plan_prints_a_page_that_says_so(knots_day: Day, paper: str) -> None:
    """No kitchen, no runs, no batches: one page with its head and foot."""
    day = Day(title="Nothing yet", timezone="Europe/Lisbon", prep_from="2027-03-04T07:00")
    opened = Opened(DRAWERS[paper](day, naive(day), PRINTED, "A4"))
    assert len(opened.pages) == 1
    assert "page 1 of 1" in opened.words
    assert re.search("othing|no ingredients", opened.words.replace("Nothing yet", ""))


@pytest.mark.parametrize("paper", DRAWERS)
def test_what_is_short_is_told_first(knots_day: Day, knots_plan: Plan, paper: str) -> None:
    """Every paper says so on its first page; the board says what is lacking."""
    lack = {"run": "knots-take-1", "beat": "tie", "stage": "rested", "kind": "copies", "count": 2}
    short = Plan.model_validate(knots_plan.document() | {"unmet": [lack]})
    first = Opened(DRAWERS[paper](knots_day, short, PRINTED, "A4")).pages[0]
    assert "This plan is short." in first
    if paper == "board":
        assert "Cardamom knots, knots-take-1, tie: short of 2 rested." in first
