"""How wide words stand in the face of all papers, and how many lines they take, read off its files.

What must fit (a label, a page of the board) is reckoned before it is drawn: drawing it to see
would take a hundred times as long.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from app.paper.pdf import FONT, STATIC, SUBSETS, WEIGHTS

MM_A_POINT = 25.4 / 72
# A sign that the face hasn't comes from another one: as wide as a wide letter.
STRANGE_EM = 1.0
WORD = re.compile(r"[^ \t\n]+")
# A degree stays on the line of its figure.
DEGREES, DEGREES_KEPT = " °", "\u00a0°"
KEPT = 16_384


@dataclass(frozen=True)
class Piece:
    """Words in one type; `pad_mm` stands beside them, and `is_whole` keeps them on one line."""

    text: str
    type_pt: float
    is_bold: bool = False
    pad_mm: float = 0.0
    is_whole: bool = False


@lru_cache(maxsize=KEPT)
def wide_em(text: str, is_bold: bool = False) -> float:
    """Return how wide a text stands, in heights of its type; pairs are not drawn together."""
    advances = _advances(WEIGHTS[-1] if is_bold else WEIGHTS[0])
    return sum(advances.get(ord(sign), STRANGE_EM) for sign in text)


def wide_mm(text: str, type_pt: float, is_bold: bool = False) -> float:
    """Return how wide a text stands on one line."""
    return wide_em(text, is_bold) * type_pt * MM_A_POINT


def lines(pieces: Iterable[Piece], line_mm: Callable[[int], float], type_pt: float = 0) -> int:
    """Return on how many lines pieces stand that follow each other; see `largest_pt`."""
    return len(largest_pt(pieces, line_mm, type_pt))


def largest_pt(
    pieces: Iterable[Piece], line_mm: Callable[[int], float], type_pt: float = 0
) -> list[float]:
    """Return the largest type on each line of pieces that follow each other with a blank between.

    Parameters
    ----------
    pieces
        What stands there, in order; without any, no line is taken.
    line_mm
        How wide the line of a number is, from 0.
    type_pt
        Of the blanks; as the pieces', if nothing is said.
    """
    found: list[float] = []
    left_mm = 0.0
    for piece, word_mm, blank_mm in _words(pieces, type_pt):
        if found and word_mm + blank_mm <= left_mm:
            found[-1] = max(found[-1], piece.type_pt)
            left_mm -= word_mm + blank_mm
            continue
        left_mm = line_mm(len(found))
        found.append(piece.type_pt)
        # A word that is longer than a line goes on in the next ones; beside one that should have
        # stayed whole nothing else stands.
        is_alone = piece.is_whole and word_mm > left_mm
        while word_mm > left_mm > 0:
            word_mm -= left_mm
            left_mm = line_mm(len(found))
            found.append(piece.type_pt)
        left_mm = 0.0 if is_alone else left_mm - word_mm
    return found


def _words(pieces: Iterable[Piece], type_pt: float) -> Iterator[tuple[Piece, float, float]]:
    """Yield the piece of each word, how wide it is, and the blank before it."""
    for piece in pieces:
        blank_mm = wide_mm(" ", type_pt or piece.type_pt, piece.is_bold)
        text = piece.text.replace(DEGREES, DEGREES_KEPT)
        said = [text] if piece.is_whole else WORD.findall(text)
        for at, word in enumerate(said):
            pad_mm = piece.pad_mm if not at else 0.0
            yield piece, wide_mm(word, piece.type_pt, piece.is_bold) + pad_mm, blank_mm


@lru_cache(maxsize=len(WEIGHTS))
def _advances(weight: int) -> dict[int, float]:
    """Return how wide each sign of a weight is; digits are those that stand in columns."""
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    found: dict[int, float] = {}
    for subset in SUBSETS:
        file = STATIC / "vendor" / FONT / f"{FONT}-{subset}-{weight}-normal.woff2"
        with TTFont(file, lazy=True) as face:
            widths, names, em = face["hmtx"], face.getBestCmap(), face["head"].unitsPerEm
            tabular = _tabular(face)
            for sign, name in names.items():
                found[sign] = widths[tabular.get(name, name)][0] / em
    return found


def _tabular(face: Any) -> dict[str, str]:
    """Return by the name of each digit that of its form with the width of all others."""
    table: Any = face["GSUB"].table if "GSUB" in face else None
    numbers = {
        number
        for record in (table.FeatureList.FeatureRecord if table else ())
        if record.FeatureTag == "tnum"
        for number in record.Feature.LookupListIndex
    }
    found: dict[str, str] = {}
    for number in numbers:
        for inner in table.LookupList.Lookup[number].SubTable:
            found |= getattr(inner, "ExtSubTable", inner).mapping
    return found
