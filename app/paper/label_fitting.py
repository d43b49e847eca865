"""How large the type of a label may be, and what is left out where it has no room."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from app.paper import face, pdf
from app.paper.label_sheets import LabelSheet
from app.paper.label_texts import Label
from app.paper.measuring import MM_A_POINT, Piece, lines, wide_mm

# What must be read at a glance stands in the larger type: tags, stage, until when it is good, may
# it be eaten, what it contains. All else is smaller by one of these, and never below the least.
SIZES_PT = (12.0, 11.5, 11.0, 10.5, 10.0, 9.5, 9.0)
EASY_PT = SIZES_PT[-1]
# Below that only what else would not be printed at all.
SMALL_PT = (8.5, 8.0, 7.5, 7.0)
LEAST_PT = SMALL_PT[-1]
BESIDE = (0.95, 0.88, 0.8)
# Sizes, heights and edges as `print.css` has them.
LINE, TAGS_LINE = 1.13, 1.08
TAGS, LONG_TAGS, LONG_SIGNS = 1.6, 1.3, 10
EDGE_MM, SIDES_MM, FOOT_MM = 1.0, 3.0, 0.6
HERO_MM, BADGE_MM, FRAME_MM, FRAMED_MM = 0.6, 3.2, 0.5, 2.5
LEAST_SIGNS = 6
CODE_LEAST_MM, CODE_MOST_MM = 16.0, 22.0
BELOW_CODE_MM, BESIDE_CODE_MM = 0.4, 1.0
# What the foot says beside the time of staging, where it is not known yet.
STAMP = "plan 99, 28 Mar 22:00"
# What a printer's engine rounds, and pairs of signs that are drawn apart.
PLAY = 1.01


class NoRoom(pdf.NoPaper):
    """A label that is too small for what must stand on it; its text is the sentence to show."""


@dataclass(frozen=True)
class Fitted:
    """A label as it will be printed: its two types, and of how many uses it says nothing.

    The `title` of the demonstration may be cut: its letters stand before the tags, which are not
    that large on a label that `is_tight`. One that `is_bare` has no room for why it is not eaten.
    """

    label: Label
    type_pt: float
    small_pt: float
    title: str
    stamp: str
    is_tight: bool = False
    uses_left: int = 0
    is_bare: bool = False

    @property
    def why_not(self) -> str:
        """Return why it may not be eaten, where that has room."""
        return "" if self.is_bare else self.label.why_not

    @property
    def tags_times(self) -> float:
        """Return how much larger its tags stand than its type."""
        is_long = len(self.label.tags) > LONG_SIGNS
        return LONG_TAGS if is_long or self.is_tight else TAGS


def code_mm(sheet: LabelSheet) -> float:
    """Return how wide and high a code is on the labels of a sheet."""
    return max(CODE_LEAST_MM, min(CODE_MOST_MM, sheet.label_high_mm / 2, sheet.label_wide_mm / 4))


def fitted(label: Label, sheet: LabelSheet, stamp: str = STAMP) -> Fitted:
    """Return a label with the largest type in which it has room; `stamp` tells of which print.

    First the title is cut at its line, then of the uses some are left out, then the type gets
    small, and at last it is not said why it may not be eaten. The code of a label opens all.

    Raises
    ------
    NoRoom
        If nothing of that is enough.
    """
    for each in _ways(label, sheet, stamp):
        if high_mm(each, sheet) <= sheet.label_high_mm:
            return each
    raise NoRoom(
        f"A label of {sheet.label_wide_mm:g} × {sheet.label_high_mm:g} mm can't hold what must "
        f"stand on {label.tags}, {label.stage}. Take a larger one: nothing of it may be left out."
    )


def has_room(label: Label, sheet: LabelSheet) -> bool:
    """Return whether a label of a sheet holds what stands on it in type that is easily read."""
    try:
        return fitted(label, sheet).type_pt >= EASY_PT
    except NoRoom:
        return False


def crowded(some: Sequence[Fitted]) -> str:
    """Return in words what had too little room on labels; nothing where all had."""
    small = [each for each in some if each.type_pt < EASY_PT]
    left = [each for each in some if each.uses_left]
    said = []
    if left:
        many = face.many(len(left), "label")
        said.append(f"{many} without some of the uses: the code opens them all.")
    bare = [each for each in some if each.is_bare]
    if bare:
        said.append(f"{face.many(len(bare), 'label')} without why it is not for eating.")
    if small:
        many, least = face.many(len(small), "label"), min(each.type_pt for each in small)
        said.append(
            f"{many} in small type, {least:g} pt at the least: a larger label reads better."
        )
    return " ".join(said)


def _ways(label: Label, sheet: LabelSheet, stamp: str) -> Iterator[Fitted]:
    """Yield the ways to print a label, the best first."""
    for is_short in (False, True):
        for type_pt in SIZES_PT:
            for beside in BESIDE:
                small_pt = max(LEAST_PT, beside * type_pt)
                title = _short(label, sheet, type_pt, small_pt) if is_short else label.title
                yield Fitted(label, type_pt, small_pt, title, stamp)
    title = _short(label, sheet, EASY_PT, LEAST_PT)
    yield Fitted(label, EASY_PT, LEAST_PT, title, stamp, is_tight=True)
    for type_pt in (EASY_PT, *SMALL_PT):
        small_pt = max(LEAST_PT, BESIDE[-1] * type_pt)
        title = _short(label, sheet, type_pt, small_pt)
        for most in range(len(label.uses), 0, -1):
            left = len(label.uses) - most
            more = f" and {left} more: open its code" if left else ""
            uses = (*label.uses[: most - 1], f"{label.uses[most - 1]}{more}")
            last = Fitted(replace(label, uses=uses), type_pt, small_pt, title, stamp, True, left)
            yield last
    yield replace(last, is_bare=True)


def _short(label: Label, sheet: LabelSheet, type_pt: float, small_pt: float) -> str:
    """Return as much of the title as stands on the line of the stage, beside the code."""
    left_mm = (sheet.label_wide_mm - SIDES_MM - code_mm(sheet) - BESIDE_CODE_MM) / PLAY
    left_mm -= wide_mm(f"{_first(label)} ", type_pt, is_bold=True)
    for most in range(len(label.title), LEAST_SIGNS, -1):
        title = face.clipped(label.title, most)
        if wide_mm(title, small_pt) <= left_mm:
            return title
    return ""


def _first(label: Label) -> str:
    return f"{label.stage} · {label.bench}" if label.bench else label.stage


def high_mm(each: Fitted, sheet: LabelSheet) -> float:
    """Return how high all that stands on a label is, edges and foot with it."""
    whole_mm, code = sheet.label_wide_mm - SIDES_MM, code_mm(sheet)
    at_mm = EDGE_MM

    def line_mm(number: int) -> float:
        """Return how wide a line of a paragraph is: beside the code it is shorter."""
        top_mm = at_mm + number * each_mm
        is_beside = top_mm < EDGE_MM + code - BELOW_CODE_MM
        return (whole_mm - code - BESIDE_CODE_MM if is_beside else whole_mm) / PLAY

    for pieces, each_mm, more_mm in _paragraphs(each):
        at_mm += lines(pieces, line_mm) * each_mm + more_mm
    return at_mm + FOOT_MM


def _paragraphs(each: Fitted) -> Iterator[tuple[tuple[Piece, ...], float, float]]:
    """Yield the paragraphs from the top: their words, how high a line is, and what is beside it."""
    label, main_pt, small_pt = each.label, each.type_pt, each.small_pt
    tags_pt = main_pt * each.tags_times
    line_mm, small_mm = (LINE * MM_A_POINT * size for size in (main_pt, small_pt))
    badge = Piece(f"{label.badge.code} {label.code}", tags_pt, True, BADGE_MM, is_whole=True)
    tags, count = Piece(label.tags, tags_pt, True), Piece(label.count, small_pt, is_whole=True)
    yield (badge, tags, count), TAGS_LINE * MM_A_POINT * tags_pt, FRAME_MM
    if label.is_hero:
        yield (Piece("HERO · DO NOT TOUCH", main_pt, True, 2.0, is_whole=True),), line_mm, HERO_MM
    yield (Piece(_first(label), main_pt, True), Piece(each.title, small_pt)), line_mm, 0.0
    if label.feeds_hero:
        yield (Piece("for a hero: keep off camera", main_pt, True),), line_mm, 0.0
    good = f"good until {label.good_until}"
    eat = Piece(label.eat, main_pt, True, 0.0 if label.is_safe else FRAMED_MM, is_whole=True)
    why_not = Piece(each.why_not, small_pt, is_whole=bool(each.why_not))
    yield (Piece(good, main_pt, True, is_whole=True), eat, why_not), line_mm, FRAME_MM
    for use in label.uses:
        yield (Piece(use, small_pt),), small_mm, 0.0
    if label.contains:
        yield (Piece("Contains", main_pt), Piece(label.contains, main_pt, True)), line_mm, 0.0
    else:
        yield (Piece("Contains: no allergen named", small_pt),), small_mm, 0.0
    for words in label.avoided:
        yield (Piece(words, main_pt, True, 3.0),), line_mm, 0.3
    yield (Piece(label.place, small_pt),), small_mm, 0.0
    staged = Piece(f"staged {label.staged}", small_pt, True, is_whole=True)
    yield (staged, Piece(each.stamp, small_pt, is_whole=True)), small_mm, 0.0
