"""A PDF opened with pypdf: its words, sizes, fonts and structure."""

from dataclasses import dataclass
from io import BytesIO
from typing import Any

from pypdf import PdfReader

MM_A_POINT = 25.4 / 72


@dataclass(frozen=True)
class Piece:
    """A piece of text with its size in points, as it stands on the page."""

    text: str
    points: float


class Words(str):
    """Words of a page; blanks do not count, for pypdf loses some where the weight changes."""

    def __contains__(self, wanted: object) -> bool:
        return "".join(str(wanted).split()) in "".join(self.split())


class Opened:
    """One PDF."""

    def __init__(self, pdf: bytes) -> None:
        self.reader = PdfReader(BytesIO(pdf))
        self.pages = [Words(" ".join(page.extract_text().split())) for page in self.reader.pages]

    @property
    def words(self) -> Words:
        """Return the words of all pages."""
        return Words(" ".join(self.pages))

    @property
    def sizes_mm(self) -> set[tuple[float, float]]:
        """Return the sizes that pages have, in millimetres."""
        boxes = [page.mediabox for page in self.reader.pages]
        return {
            (round(box.width * MM_A_POINT, 1), round(box.height * MM_A_POINT, 1)) for box in boxes
        }

    @property
    def root(self) -> Any:
        """Return the catalogue of the document."""
        return self.reader.trailer["/Root"]

    def pieces(self, page: int) -> list[Piece]:
        """Return the pieces of text of a page with their sizes."""
        found: list[Piece] = []

        def see(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
            if text.strip():
                found.append(Piece(text.strip(), abs(size * tm[3] * cm[3])))

        self.reader.pages[page].extract_text(visitor_text=see)
        return found

    def fonts(self) -> dict[str, bool]:
        """Return the fonts of all pages, and whether each is embedded."""
        found: dict[str, bool] = {}
        for page in self.reader.pages:
            for each in page["/Resources"].get("/Font", {}).values():
                font = each.get_object()
                inner = font.get("/DescendantFonts", [font])[0].get_object()
                described = inner.get("/FontDescriptor", {})
                files = {"/FontFile", "/FontFile2", "/FontFile3"} & set(described)
                found[str(font["/BaseFont"])] = bool(files) or font["/Subtype"] == "/Type3"
        return found
