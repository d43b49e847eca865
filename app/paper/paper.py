"""A paper: what it is called, how its sheet lies, what its template shows."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from app.food.larder import Larder
from app.paper import face, pdf
from app.paper.book import Book
from app.paper.changes import Sorting, add_cover, mark_of
from app.paper.drawn import Drawn, Earlier
from app.paper.of_house import NOTHING, OfHouse
from app.planning.day import Day
from app.planning.plan import Plan


@dataclass(frozen=True)
class Given:
    """What a paper is drawn with, beside its day and plan; most papers need little of it.

    Attributes
    ----------
    sheet
        What it is printed on.
    house
        What the house has decided.
    larder
        What the house buys and holds, its measures and weights; None if that is not known.
    others
        Further productions that are shopped for at once.
    """

    sheet: pdf.Sheet
    house: OfHouse = NOTHING
    larder: Larder | None = None
    others: tuple[tuple[Day, Plan], ...] = ()


@dataclass(frozen=True)
class Paper:
    """One kind of paper; `shown` returns the values that its template needs beside the face."""

    template: str
    called: str
    shown: Callable[[Day, Plan, Given], dict[str, Any]]
    is_landscape: bool = False

    def draw(self, day: Day, plan: Plan, printed_at: str, size: str) -> bytes:
        """Return the paper of a plan as PDF; see `drawn`."""
        return self.drawn(day, plan, printed_at, size).pdf

    def drawn(
        self,
        day: Day,
        plan: Plan,
        printed_at: str,
        size: str,
        earlier: Earlier | None = None,
        house: OfHouse = NOTHING,
        larder: Larder | None = None,
        others: tuple[tuple[Day, Plan], ...] = (),
    ) -> Drawn:
        """Return the paper of a plan, or only what of it changed.

        Parameters
        ----------
        printed_at
            Local text of the minute in which it is printed.
        size
            A4, A3, Letter or Tabloid.
        earlier
            The print, of another plan, since which changes are wanted; None for the whole paper.
        house, larder, others
            See `Given`.

        Raises
        ------
        UnknownSize, NoPaper
            If there is no such sheet, or this machine can't draw.
        """
        given = Given(pdf.sheet(size), house, larder, others)
        told = face.face(day, plan, self.called, printed_at, house, others)
        html = face.page(self.template, face=told, **self.shown(day, plan, given))
        wide_mm, high_mm = given.sheet.wide_mm, given.sheet.high_mm
        sides = (high_mm, wide_mm) if self.is_landscape else (wide_mm, high_mm)
        return _drawn(html, sides, told, earlier)


def _drawn(
    html: str, sides: tuple[float, float], told: face.Face, earlier: Earlier | None
) -> Drawn:
    """Return a paper of pages of a size, or what of it changed under a list that says so."""
    book, sorting = Book(*sides), Sorting(earlier)
    numbers = {
        number: book.add(page)
        for number, page in enumerate(book.laid_out(html), start=1)
        if sorting.is_wanted(mark_of(page))
    }
    now = tuple(sorting.marks)
    book.number(numbers, len(now))
    if earlier is not None:
        add_cover(book, told, now, earlier)
    return Drawn(book.written(), now, len(book.pages))
