"""Only the pages that changed, under a list that says what to keep and what to throw away."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from app.paper import face
from app.paper.book import Book
from app.paper.drawn import Earlier, mark
from app.paper.face import Face


@dataclass(frozen=True)
class Changes:
    """Pages of a new print against those of an earlier one, counted from 1."""

    before: int
    new: tuple[int, ...]
    kept: tuple[tuple[int, int], ...]
    gone: tuple[int, ...]


def changes(now: Sequence[str], earlier: Earlier) -> Changes:
    """Return which pages are new, which are kept (old page, new page), which of the old are void.

    Parameters
    ----------
    now
        The mark of each page of the new print.
    earlier
        The print that hangs on the wall.
    """
    left: dict[str, list[int]] = {}
    for page, each in enumerate(earlier.marks, start=1):
        left.setdefault(each, []).append(page)
    new: list[int] = []
    kept: list[tuple[int, int]] = []
    for page, each in enumerate(now, start=1):
        if left.get(each):
            kept.append((left[each].pop(0), page))
        else:
            new.append(page)
    gone = sorted(page for pages in left.values() for page in pages)
    return Changes(earlier.plan, tuple(new), tuple(kept), tuple(gone))


class Sorting:
    """Tells of each page as it comes whether it is wanted; without an earlier print, all are."""

    def __init__(self, earlier: Earlier | None) -> None:
        self.marks: list[str] = []
        self._left = Counter(earlier.marks) if earlier else Counter()

    def is_wanted(self, mark: str) -> bool:
        """Return whether a page is new; as `changes` does, each old page is kept once."""
        self.marks.append(mark)
        self._left[mark] -= 1
        return self._left[mark] < 0


def mark_of(page: Any) -> str:
    """Return the mark of a page that is laid out: its words and where they stand.

    Head and foot do not count, for they bear the number of the plan and the time of the print.
    """
    return mark(_words(page._page_box.children[0]))


def add_cover(book: Book, told: Face, now: Sequence[str], earlier: Earlier) -> None:
    """Add in front of the pages that changed a list of what to do with which page."""
    found = changes(now, earlier)
    html = face.page(
        "changes.html",
        face=told,
        changes=found,
        pages=len(now),
        new=in_words(found.new),
        gone=in_words(found.gone),
        kept=list(_kept_in_words(found.kept)),
        has_law=len(now) in found.new,
    )
    changed = list(book.pages)
    for page in book.laid_out(html):
        book.add(page)
    book.pages = book.pages[len(changed) :] + changed


def in_words(pages: Sequence[int]) -> str:
    """Return numbers of pages as people say them: *1, 3 to 5 and 8*."""
    spans: list[list[int]] = []
    for page in pages:
        if spans and spans[-1][-1] == page - 1:
            spans[-1].append(page)
        else:
            spans.append([page])
    return face.listed(words for span in spans for words in _span(span))


def _kept_in_words(kept: Sequence[tuple[int, int]]) -> Iterator[tuple[str, str]]:
    """Yield pages in a row that are kept, their new numbers beside them where those differ."""
    spans: list[list[tuple[int, int]]] = []
    for old, page in kept:
        if spans and spans[-1][-1] == (old - 1, page - 1):
            spans[-1].append((old, page))
        else:
            spans.append([(old, page)])
    for span in spans:
        before, now = ([pair[side] for pair in span] for side in (0, 1))
        yield in_words(before), "" if before == now else in_words(now)


def _span(span: list[int]) -> list[str]:
    return [str(page) for page in span] if len(span) < 3 else [f"{span[0]} to {span[-1]}"]


def _words(box: Any) -> Iterator[tuple[str, int, int]]:
    """Yield the words of a box of the layout, with the place of each."""
    text = getattr(box, "text", "")
    if text:
        yield text, round(box.position_x), round(box.position_y)
    for inner in getattr(box, "children", ()):
        yield from _words(inner)
