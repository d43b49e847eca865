"""Pages that are painted as soon as they are laid out, so that a large paper stays small in memory.

WeasyPrint holds every page with all of its boxes, one to three megabytes a page, until it writes
the PDF. Here a page is painted at once, and of its boxes only what tells its structure is kept;
the number of pages, known last, is painted over it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Self
from zlib import compress, decompress

from app.paper import pdf
from app.paper.compact import compact

# What the structure of a tagged PDF is told from: of a box where it is not the usual, of a mark-up.
TOLD = {"colspan": 1, "rowspan": 1, "is_table_wrapper": False}
ATTRIBUTES = ("alt", "scope")
# Of a picture its place is told as well, but not what it shows.
OF_PICTURE = (
    *("element_tag", "element", "children", "position_x", "position_y", "width", "height"),
    *("margin_left", "border_left_width", "padding_left"),
    *("margin_top", "border_top_width", "padding_top"),
)
# Of words nothing is kept but which they are; they all share it.
NOTHING_KEPT: dict[str, Any] = {}
SHARED = ("ExtGState", "XObject", "Pattern", "Shading")
POINTS_A_PIXEL = 0.75


class Painted:
    """A page that is painted; it stands in for a page of WeasyPrint where the PDF is written."""

    def __init__(self, page: Any, stream: Any) -> None:
        self.width, self.height, self.bleed = page.width, page.height, page.bleed
        self.bookmarks, self.links = page.bookmarks, page.links
        self.anchors, self.forms = page.anchors, page.forms
        self._stream = stream
        self._painted: list[bytes] = []
        self._boxes = page._page_box
        self.settle: Callable[[], None] = _nothing
        self._put(page)

    @property
    def _page_box(self) -> Any:
        """Return the boxes, once: their structure is told page by page, and they go as it grows.

        What was told of the pages before is finished.
        """
        self.settle()
        boxes, self._boxes = self._boxes, None
        return boxes

    def number(self, page: Any) -> None:
        """Paint another page over this one: the number that it bears."""
        self._put(page)
        self._boxes.children = [*self._boxes.children, *page._page_box.children]

    def paint(self, stream: Any, _: float) -> None:
        """Copy the page into the PDF that is being written."""
        for kind in SHARED:
            stream._resources[kind].update(self._stream._resources[kind])
        stream._images.update(self._stream._images)
        stream._tags.update(self._stream._tags)
        stream.stream.extend(map(decompress, self._painted))
        self._stream, self._painted = None, []

    def _put(self, page: Any) -> None:
        page.paint(self._stream, POINTS_A_PIXEL)
        self._painted.append(compress(b"\n".join(_as_bytes(self._stream.stream))))
        self._stream.stream = []
        _slim(page._page_box)


@dataclass
class Book:
    """The pages of one PDF, of one size."""

    wide_mm: float
    high_mm: float

    def __post_init__(self) -> None:
        self.pages: list[Painted] = []
        self._document: Any = None
        self._fonts: dict[Any, Any] = {}
        self._images: dict[Any, Any] = {}
        self._resources: dict[str, dict[Any, Any]] = {kind: {} for kind in SHARED}

    def laid_out(self, html: str) -> Iterator[Any]:
        """Yield the pages of a paper, part by part: each is to be added before the next comes.

        Raises
        ------
        NoPaper
            If a library that drawing needs is not on this machine.
        """
        for part in pdf.parts(html):
            document = pdf.laid_out(part, self.wide_mm, self.high_mm)
            # Title and language are those of the paper, as each part of it bears them.
            self._document = self._document or document.copy([])
            yield from document.pages

    def add(self, page: Any) -> Painted:
        """Paint a page behind those that are there."""
        from weasyprint.pdf.stream import Stream

        sides = (0, 0, page.width, page.height)
        shared = (self._fonts, sides, self._resources, self._images)
        document = self._document
        stream = Stream(*shared, {}, document.color_profiles, document.output_intent)
        painted = Painted(page, stream)
        self.pages.append(painted)
        return painted

    def whole(self, html: str) -> Self:
        """Add all pages of a paper, and return the book."""
        for page in self.laid_out(html):
            self.add(page)
        return self

    def number(self, numbers: dict[int, Painted], of: int) -> None:
        """Paint *page n of m* over pages, told by their numbers from 1."""
        html = pdf.blank_pages(of)
        for number, page in enumerate(pdf.laid_out(html, self.wide_mm, self.high_mm).pages, 1):
            if number in numbers:
                numbers[number].number(page)

    def written(self) -> bytes:
        """Return the tagged PDF of all pages."""
        document = self._document.copy(list(self.pages))
        document.fonts = self._fonts
        with compact() as settle:
            for page in self.pages:
                page.settle = settle
            return pdf.written(document)


def _nothing() -> None:
    """Settle nothing: as long as a page is painted."""


def _slim(box: Any) -> None:
    """Take from a box, and from those inside, what is of no use once they are painted."""
    from weasyprint.formatting_structure import boxes
    from weasyprint.layout.absolute import AbsolutePlaceholder

    if isinstance(box, AbsolutePlaceholder):
        box = box._box
    for inner in getattr(box, "children", ()):
        _slim(inner)
    if isinstance(box, boxes.ReplacedBox):
        told = box.__dict__
        box.__dict__ = {name: told[name] for name in OF_PICTURE if name in told}
        return
    is_named = not isinstance(box, boxes.TextBox)
    kept: dict[str, Any] = {}
    if is_named:
        told = box.__dict__
        kept = {name: told[name] for name, usual in TOLD.items() if told.get(name, usual) != usual}
        kept |= {"element_tag": box.element_tag, "element": _element(box.element)}
    if isinstance(box, boxes.ParentBox):
        # What only looks otherwise is no part of the structure.
        kept["children"] = [
            each
            for inner in box.children
            for each in (inner.children if _is_plain(inner, boxes.InlineBox) else [inner])
        ]
    if kept.get("element_tag") in {"li", "dt", "dd"}:
        kept["style"] = {name: box.style[name] for name in ("display", "list_style_type")}
    box.__dict__ = kept or NOTHING_KEPT


def _is_plain(box: Any, inline: Any) -> bool:
    return isinstance(box, inline) and box.element_tag in {"b", "span"}


@dataclass(frozen=True)
class Element:
    """What the structure is told from of a mark-up; the page that it is of need not be kept."""

    tag: str
    attrib: dict[str, str]


@lru_cache(maxsize=4096)
def _shared(tag: str, attributes: tuple[tuple[str, str], ...]) -> Element:
    return Element(tag, dict(attributes))


def _element(element: Any) -> Element | None:
    """Return the element of a box, the same one for all that tell the same."""
    if element is None:
        return None
    some = ((name, element.attrib[name]) for name in ATTRIBUTES if name in element.attrib)
    return _shared(element.tag, tuple(some))


def _as_bytes(commands: list[Any]) -> Iterator[bytes]:
    """Yield the commands of a page as they are written."""
    for each in commands:
        if isinstance(each, bytes):
            yield each
        else:
            yield each.encode("ascii") if isinstance(each, str) else each.data
