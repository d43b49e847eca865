"""A paper that was drawn, and how one page or label of it is told from another."""

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256

MARK_SIGNS = 16


@dataclass(frozen=True)
class Drawn:
    """A paper as PDF.

    `marks` holds a mark for each page of the whole paper (of labels: for each label), also of
    those that a print of changes alone leaves out; pages with one mark have one content. `sheets`
    counts the pages of the PDF, and `words` says what had too little room, if anything had.
    """

    pdf: bytes
    marks: tuple[str, ...]
    sheets: int
    words: str = ""


@dataclass(frozen=True)
class Earlier:
    """What was printed before: of which plan, and the mark of each of its pages or labels."""

    plan: int
    marks: tuple[str, ...]


def mark(content: Iterable[object]) -> str:
    """Return the mark of a content: equal for equal content, else different."""
    return sha256(repr(tuple(content)).encode()).hexdigest()[:MARK_SIGNS]
