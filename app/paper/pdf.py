"""HTML to PDF, on its own: nothing is fetched, fonts and style come from this program's files."""

import base64
import gc
import re
from collections.abc import Iterator
from contextlib import redirect_stdout
from dataclasses import dataclass
from functools import lru_cache
from io import StringIO
from pathlib import Path
from typing import Any

STATIC = Path(__file__).parents[2] / "static"
FONT = "atkinson-hyperlegible-next"
WEIGHTS = (400, 700)
# The spans of the two files, as their maker ships them.
SUBSETS = {
    "latin-ext": "U+0100-02BA, U+02BD-02C5, U+02C7-02CC, U+02CE-02D7, U+02DD-02FF, U+0304, U+0308,"
    " U+0329, U+1D00-1DBF, U+1E00-1E9F, U+1EF2-1EFF, U+2020, U+20A0-20AB, U+20AD-20C0, U+2113,"
    " U+2C60-2C7F, U+A720-A7FF",
    "latin": "U+0000-00FF, U+0131, U+0152-0153, U+02BB-02BC, U+02C6, U+02DA, U+02DC, U+2000-206F,"
    " U+20AC, U+2122, U+2191, U+2193, U+2212, U+2215, U+FEFF, U+FFFD",
}
TAGGED = "pdf/ua-1"
PART_SIGNS = 60_000
MISSING = (
    "Paper can't be drawn here before what it needs is installed (on Debian: apt-get install "
    "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0); all else works."
)


class NoPaper(RuntimeError):
    """This machine can't draw paper; its text is the sentence to show."""


class UnknownSize(ValueError):
    """A sheet that nobody prints on; its text is the sentence to show."""


@dataclass(frozen=True)
class Sheet:
    """A sheet of paper, upright."""

    name: str
    wide_mm: float
    high_mm: float


SHEETS = {
    "a4": Sheet("A4", 210, 297),
    "a3": Sheet("A3", 297, 420),
    "letter": Sheet("Letter", 215.9, 279.4),
    "tabloid": Sheet("Tabloid", 279.4, 431.8),
}


def sheet(size: str) -> Sheet:
    """Return the sheet that `size` names, in capitals or not.

    Raises
    ------
    UnknownSize
        If it is none of A4, A3, Letter and Tabloid.
    """
    found = SHEETS.get(size.strip().lower())
    if found is None:
        names = ", ".join(each.name for each in SHEETS.values())
        raise UnknownSize(f"There is no sheet {size[:40]!r}; paper comes as {names}.")
    return found


def parts(html: str) -> Iterator[str]:
    """Yield a paper as papers of some of its sections each, for a large one needs much memory.

    A section that goes on below another stays with it.
    """
    head, *sections = re.split(r"(?=<section(?! data-goes-on))", html)
    part = ""
    for section in sections:
        if part and len(part) + len(section) > PART_SIGNS:
            yield head + part
            # What the layout of a part leaves behind holds itself by cycles.
            gc.collect()
            part = ""
        part += section
    yield head + part


def blank_pages(count: int) -> str:
    """Return as many pages that bear their number alone."""
    return f'<html lang="en"><body class="numbers">{"<section></section>" * count}</body></html>'


def laid_out(html: str, wide_mm: float, high_mm: float) -> Any:
    """Return `html` laid out on pages, not yet written; of all addresses only `data:` is read.

    Raises
    ------
    NoPaper
        If a library that drawing needs is not on this machine.
    """
    try:
        # Where a library is missing, it prints a text of its own beside the error.
        with redirect_stdout(StringIO()):
            from weasyprint import CSS, HTML
    except (ImportError, OSError) as error:
        raise NoPaper(MISSING) from error
    fetcher, fonts, styles = _kit()
    page = CSS(string=f"@page {{ size: {wide_mm}mm {high_mm}mm }}")
    document = HTML(string=html, url_fetcher=fetcher)
    return document.render(stylesheets=[*styles, page], font_config=fonts, pdf_variant=TAGGED)


def written(document: Any) -> bytes:
    """Return the tagged PDF of pages that are laid out."""
    return bytes(document.write_pdf(pdf_variant=TAGGED))


@lru_cache(maxsize=1)
def _kit() -> tuple[Any, Any, list[Any]]:
    """Return the fetcher, the fonts and the style: unpacking a font takes longer than a page."""
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher

    fetcher = URLFetcher(allowed_protocols={"data"}, allow_redirects=False)
    fonts = FontConfiguration()
    styles = [
        CSS(string=text, font_config=fonts, url_fetcher=fetcher) for text in (font_faces(), style())
    ]
    return fetcher, fonts, styles


@lru_cache(maxsize=1)
def font_faces() -> str:
    """Return the rules that carry the face itself, so that prints are the same everywhere."""
    return "\n".join(_face(subset, weight) for subset in SUBSETS for weight in WEIGHTS)


@lru_cache(maxsize=1)
def style() -> str:
    """Return the style of all papers."""
    return (STATIC / "print.css").read_text("utf-8")


def _face(subset: str, weight: int) -> str:
    file = STATIC / "vendor" / FONT / f"{FONT}-{subset}-{weight}-normal.woff2"
    data = base64.b64encode(file.read_bytes()).decode("ascii")
    return (
        "@font-face { font-family: 'Hyperlegible'; font-style: normal;"
        f" font-weight: {weight}; unicode-range: {SUBSETS[subset]};"
        f" src: url('data:font/woff2;base64,{data}') format('woff2') }}"
    )
