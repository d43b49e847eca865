"""Labels: one a copy and stage or a slot-full, on any sheet or roll, with a code that opens it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil
from textwrap import wrap
from urllib.parse import quote

from app.paper import face, pdf
from app.paper.book import Book
from app.paper.codes import code
from app.paper.drawn import Drawn, Earlier
from app.paper.face import Face
from app.paper.label_sheets import OF_SIZE, LabelSheet
from app.paper.label_texts import MARKED, Label, labels
from app.paper.of_house import NOTHING, OfHouse
from app.planning.day import Day
from app.planning.plan import Plan

HERE = "http://127.0.0.1:8000/productions/1"
# Type is as large as a label holds. A sign of the face is 0.165 mm
# wide a point on average, measured; a bold one more.
SIZES_PT = (11.5, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
# Below these only what else would not be printed at all.
LEAST_PT = 6.0
SIGN_MM_A_PT = 0.174
LINE_MM_A_PT = 0.42
PAD_MM = 3.0
CODE_LEAST_MM, CODE_MOST_MM = 16.0, 22.0
COUNT_SIZE = 0.65
BELOW_CODE_MM = 2.0
LAST_PT = 10.0
HEAD_MM = 6.0
LONGEST_TITLE = 34
MOST_GONE = 12


class NoRoom(pdf.NoPaper):
    """A label that is too small for what must stand on it; its text is the sentence to show."""


@dataclass(frozen=True)
class Printed:
    """A label in its place: from the left and the top of the sheet, its type, its code."""

    label: Label | None
    left_mm: float
    top_mm: float
    type_pt: float
    code: str
    address: str
    head: str


@dataclass(frozen=True)
class Page:
    """A sheet, with the line in its margin where there is one."""

    labels: tuple[Printed, ...]
    head: str
    head_top_mm: float


class Labels:
    """The paper of labels; what other papers take as well stands with `Paper.drawn`.

    `sheet` says how labels lie (else `size`, A4 or Letter, does), `start` which is the first of
    the first sheet that is still there, from 1, and `address` where the production is served.
    """

    called = "Labels"

    def draw(self, day: Day, plan: Plan, printed_at: str, size: str) -> bytes:
        """Return the labels of a plan as PDF; see `drawn`."""
        return self.drawn(day, plan, printed_at, size).pdf

    def drawn(
        self,
        day: Day,
        plan: Plan,
        printed_at: str,
        size: str,
        earlier: Earlier | None = None,
        sheet: LabelSheet | None = None,
        start: int = 1,
        address: str = HERE,
        house: OfHouse = NOTHING,
    ) -> Drawn:
        """Return the labels of a plan, or only those that changed, and one that tells of them.

        Raises
        ------
        UnknownSize, NoPaper, NoRoom
            If there is no such sheet, this machine can't draw, or a label is too small.
        """
        sheet = sheet or _of_size(size)
        every = labels(day, plan, house, lambda label: has_room(label, sheet))
        marks = tuple(each.mark for each in every)
        known = set(earlier.marks) if earlier else set()
        some = [label for label, mark in zip(every, marks, strict=True) if mark not in known]
        told = face.face(day, plan, self.called, printed_at, house)
        html = face.page(
            "labels.html",
            face=told,
            pages=tuple(_pages(some, sheet, start, address, told)),
            sheet=sheet,
            code_mm=code_mm(sheet),
            count=len(some),
            kept=len(every) - len(some),
            before=earlier.plan if earlier else 0,
            gone=_gone(marks, earlier) if earlier else "",
        )
        book = Book(sheet.sheet_wide_mm, sheet.sheet_high_mm)
        for page in book.laid_out(html):
            book.add(page)
        return Drawn(book.written(), marks, len(book.pages))


def _gone(marks: tuple[str, ...], earlier: Earlier) -> str:
    """Return the names of the labels printed before that are void now."""
    void = [each.rpartition(MARKED)[0] for each in earlier.marks if each not in set(marks)]
    more = [f"{len(void) - MOST_GONE} more"] if len(void) > MOST_GONE else []
    return face.listed([*void[:MOST_GONE], *more])


def code_mm(sheet: LabelSheet) -> float:
    """Return how wide and high a code is on the labels of a sheet."""
    return max(CODE_LEAST_MM, min(CODE_MOST_MM, sheet.label_high_mm / 2, sheet.label_wide_mm / 4))


def places(count: int, sheet: LabelSheet, start: int) -> Iterator[tuple[int, int]]:
    """Yield for each of `count` labels its sheet and its position on it, both from 0.

    The first sheet begins at the label `start`, counted from 1.
    """
    for number in range(count):
        yield divmod(start - 1 + number, sheet.labels)


def _of_size(size: str) -> LabelSheet:
    if size.strip().lower() not in OF_SIZE:
        raise pdf.UnknownSize(
            f"Labels come on A4, on Letter, or on a sheet of your own, not on {size[:40]!r}."
        )
    return OF_SIZE[size.strip().lower()]


def _pages(
    some: list[Label], sheet: LabelSheet, start: int, address: str, told: Face
) -> Iterator[Page]:
    """Yield the sheets; the last label tells what was printed."""
    on: dict[int, list[Printed]] = {}
    everything: list[Label | None] = [*some, None]
    spots = list(places(len(everything), sheet, min(max(1, start), sheet.labels)))
    total = spots[-1][0] + 1
    for label, (page, position) in zip(everything, spots, strict=True):
        page_of = f", page {page + 1} of {total}" if sheet.labels == 1 else ""
        title = face.clipped(told.title, LONGEST_TITLE)
        head = f"plan {told.plan}, {told.printed}{page_of} · {title}"
        on.setdefault(page, []).append(_printed(label, sheet, position, address, head))
    for page, held in on.items():
        words = (
            f"Labels, plan {told.plan}, printed {told.printed}, page {page + 1} of {total}. "
            f"A lower plan number is void. {told.title}"
        )
        if told.is_undecided:
            words = f"{told.people} {words}"
        has_head = sheet.top_mm >= HEAD_MM
        yield Page(tuple(held), words if has_head else "", sheet.top_mm - HEAD_MM + 0.5)


def _printed(
    label: Label | None, sheet: LabelSheet, position: int, address: str, head: str
) -> Printed:
    left_mm, top_mm = sheet.corner_mm(position)
    if label is None:
        type_pt = max(SIZES_PT[-1], min(LAST_PT, sheet.label_high_mm / 5))
        return Printed(None, left_mm, top_mm, type_pt, "", "", head)
    opens = f"{address.rstrip('/')}/copies/{quote(label.ref, safe='-')}"
    fitted, type_pt = _fitted(label, sheet)
    return Printed(fitted, left_mm, top_mm, type_pt, code(opens), opens, head)


def _fitted(label: Label, sheet: LabelSheet) -> tuple[Label, float]:
    """Return a label with the largest type in which it has room.

    Only of the uses some may be left out, and the label says so: its code opens them all.
    """
    for sizes_pt in (SIZES_PT, (LEAST_PT,)):
        for most in range(len(label.uses), 0, -1):
            left = len(label.uses) - most
            more = (f"and {left} more: open its code",) if left else ()
            shorter = replace(label, uses=label.uses[:most] + more)
            for type_pt in sizes_pt:
                if _high_mm(shorter, sheet, type_pt) <= sheet.label_high_mm - PAD_MM:
                    return shorter, type_pt
    raise NoRoom(
        f"A label of {sheet.label_wide_mm:g} × {sheet.label_high_mm:g} mm can't hold what must "
        f"stand on {label.tags}, {label.stage}. Take a larger one: nothing of it may be left out."
    )


def has_room(label: Label, sheet: LabelSheet) -> bool:
    """Return whether a label of a sheet holds what stands on it, in type that is easily read."""
    try:
        return _fitted(label, sheet)[1] > LEAST_PT
    except NoRoom:
        return False


def _high_mm(label: Label, sheet: LabelSheet, type_pt: float) -> float:
    """Return about how high the words of a label stand, in the sizes of `print.css`."""
    line_mm, beside_mm = LINE_MM_A_PT * type_pt, code_mm(sheet) + BELOW_CODE_MM
    wide_mm = sheet.label_wide_mm - PAD_MM
    high_mm = 0.0
    for words, times in _lines(label):
        left = words
        while left:
            # Beside the code a line is shorter than below it.
            line_wide_mm = wide_mm - beside_mm if high_mm < beside_mm else wide_mm
            signs = max(8, int(line_wide_mm / (SIGN_MM_A_PT * type_pt * times)))
            left = left[len(wrap(left, signs)[0]) :].lstrip()
            high_mm += line_mm * times
    return high_mm + line_mm


def _lines(label: Label) -> Iterator[tuple[str, float]]:
    """Yield the lines of a label from the top, each with its size against the type."""
    # The count stands in smaller type beside the tags.
    count = "x" * ceil(COUNT_SIZE * len(label.count) + 1)
    yield f"{label.badge.code} {label.code}x {label.tags} {count}", 1.8
    if label.is_hero:
        yield "HERO · DO NOT TOUCH", 1.3
    yield f"{label.stage} {label.title}", 1.0
    if label.feeds_hero:
        yield "for a hero: keep off camera", 1.0
    if label.bench:
        yield label.bench, 1.15
    for use in label.uses:
        yield use, 1.0
    # Each of these stays on one line, and the half of it is bold, which is wider.
    times = (f"staged {label.staged}xx", f"good until {label.good_until}x")
    yield " ".join(each.replace(" ", "x") for each in times), 1.15
    yield label.eat, 1.3
    yield f"Contains: {label.contains or 'no allergen named'}", 1.0
    for words in label.avoided:
        yield f"   {words}", 1.1
    yield label.place, 1.0


PAPER = Labels()
draw = PAPER.draw
