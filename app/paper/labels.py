"""Labels: one a copy and stage or a slot-full, on any sheet or roll, with a code that opens it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from app.paper import face, pdf
from app.paper.book import Book
from app.paper.codes import code
from app.paper.drawn import Drawn, Earlier
from app.paper.face import Face
from app.paper.label_fitting import LEAST_PT, Fitted, code_mm, crowded, fitted, has_room
from app.paper.label_sheets import OF_SIZE, LabelSheet
from app.paper.label_texts import MARKED, Label, labels
from app.paper.of_house import NOTHING, OfHouse
from app.planning.day import Day
from app.planning.plan import Plan

HERE = "http://127.0.0.1:8000/productions/1"
LAST_PT = 10.0
HEAD_MM = 6.0
MOST_GONE = 12


@dataclass(frozen=True)
class Printed:
    """A label in its place: from the left and the top of the sheet, its code, which print it is of.

    Without `fitted` it is the last one, which tells what was printed.
    """

    fitted: Fitted | None
    left_mm: float
    top_mm: float
    type_pt: float
    code: str
    address: str
    foot: str


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
            If there is no such sheet, this machine can't draw, a label is too small.
        """
        sheet = sheet or _of_size(size)
        every = labels(day, plan, house, lambda label: has_room(label, sheet))
        marks = tuple(each.mark for each in every)
        known = set(earlier.marks) if earlier else set()
        stamp = f"plan {plan.number}, {face.stamp(printed_at)}"
        some = _fitted([each for each in every if each.mark not in known], sheet, stamp)
        told = face.face(day, plan, self.called, printed_at, house)
        html = face.page(
            "labels.html",
            face=told,
            pages=tuple(_pages(some, sheet, start, address, told, stamp)),
            sheet=sheet,
            code_mm=code_mm(sheet),
            crowded=crowded(some),
            **_since(len(some), marks, earlier),
        )
        book = Book(sheet.sheet_wide_mm, sheet.sheet_high_mm).whole(html)
        return Drawn(book.written(), marks, len(book.pages), crowded(some))


def _since(count: int, marks: tuple[str, ...], earlier: Earlier | None) -> dict[str, Any]:
    """Return what the last label tells of a print: how many are in it, which are void."""
    return {
        "count": count,
        "kept": len(marks) - count,
        "before": earlier.plan if earlier else 0,
        "gone": _gone(marks, earlier) if earlier else "",
    }


def _fitted(some: list[Label], sheet: LabelSheet, stamp: str) -> list[Fitted]:
    page_of = ", page 999 of 999" if sheet.labels == 1 else ""
    return [fitted(label, sheet, f"{stamp}{page_of}") for label in some]


def _gone(marks: tuple[str, ...], earlier: Earlier) -> str:
    """Return the names of the labels printed before that are void now."""
    void = [each.rpartition(MARKED)[0] for each in earlier.marks if each not in set(marks)]
    more = [f"{len(void) - MOST_GONE} more"] if len(void) > MOST_GONE else []
    return face.listed([*void[:MOST_GONE], *more])


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
    some: list[Fitted], sheet: LabelSheet, start: int, address: str, told: Face, stamp: str
) -> Iterator[Page]:
    """Yield the sheets; the last label tells what was printed."""
    on: dict[int, list[Printed]] = {}
    everything: list[Fitted | None] = [*some, None]
    spots = list(places(len(everything), sheet, min(max(1, start), sheet.labels)))
    total = spots[-1][0] + 1
    for each, (page, position) in zip(everything, spots, strict=True):
        page_of = f", page {page + 1} of {total}" if sheet.labels == 1 else ""
        foot = f"{stamp}{page_of}"
        on.setdefault(page, []).append(_printed(each, sheet, position, address, foot))
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
    each: Fitted | None, sheet: LabelSheet, position: int, address: str, foot: str
) -> Printed:
    left_mm, top_mm = sheet.corner_mm(position)
    if each is None:
        type_pt = max(LEAST_PT, min(LAST_PT, sheet.label_high_mm / 5))
        return Printed(None, left_mm, top_mm, type_pt, "", "", foot)
    opens = f"{address.rstrip('/')}/copies/{quote(each.label.ref, safe='-')}"
    return Printed(each, left_mm, top_mm, each.type_pt, code(opens), opens, foot)


PAPER = Labels()
draw = PAPER.draw
