"""Allergen sheet: demonstrations and their stages against the allergens of a law, and people."""

from dataclasses import dataclass
from typing import Any

from app.food.allergens import law
from app.paper import face
from app.paper.letters import Badge, badges
from app.paper.of_house import Decided, OfHouse
from app.paper.paper import Paper
from app.planning.allergen_table import Row, dishes
from app.planning.day import Day
from app.planning.people import Meeting, in_words, meetings
from app.planning.plan import Plan

LONGEST_NAME = 48
LONGEST_WORD = 40
MOST_BROUGHT = 6


@dataclass(frozen=True)
class Line:
    """One row of the table; a cell holds the words that name its allergen."""

    name: str
    cells: tuple[tuple[str, ...], ...]
    beside: str


@dataclass(frozen=True)
class Dish:
    """One demonstration; `brought` says which ingredients bring what."""

    badge: Badge
    title: str
    whole: Line
    stages: tuple[Line, ...]
    brought: tuple[str, ...]


@dataclass(frozen=True)
class Met:
    """Somebody who would meet what they avoid, and what was decided on it."""

    words: str
    is_served: bool
    decided: str


def content(day: Day, plan: Plan, house: OfHouse) -> dict[str, Any]:
    """Return what the template shows: the law, its table, and the people."""
    under, marks = law(house.allergen_law), badges(day, plan)
    decided = {each.key: each for each in house.decided}
    return {
        "law": under,
        "dishes": tuple(
            Dish(
                badge=marks[each.demonstration.id],
                title=face.clipped(each.demonstration.title, LONGEST_NAME),
                whole=_line(each.whole),
                stages=tuple(_line(row) for row in each.stages),
                brought=tuple(_brought(each.whole)),
            )
            for each in dishes(day, under)
        ),
        "met": tuple(_met(day, each, decided) for each in meetings(day)),
        "people": tuple(sorted({person.name for run in day.runs for person in run.people})),
    }


def _line(row: Row) -> Line:
    cells = tuple(
        tuple(
            face.clipped(named.word if named.is_sure else f"perhaps: {named.word}", LONGEST_WORD)
            for named in cell
        )
        for cell in row.cells
    )
    return Line(face.clipped(row.name, LONGEST_NAME), cells, face.listed(row.beside))


def _brought(row: Row) -> list[str]:
    """Return which ingredients bring what: *wheat: strong flour, semolina*."""
    told = []
    for each in row.brought:
        some = each.ingredients[:MOST_BROUGHT]
        rest = len(each.ingredients) - len(some)
        more = f" and {rest} more" if rest else ""
        told.append(f"{each.allergen}: {', '.join(some)}{more}")
    return told


def _met(day: Day, meeting: Meeting, decided: dict[str, Decided]) -> Met:
    known = decided.get(meeting.key)
    words = f"{known.by}, {face.moment(known.at)}: {known.words}" if known else ""
    return Met(in_words(day, meeting), meeting.is_served, words)


PAPER = Paper(
    "allergens.html",
    "Allergen sheet",
    lambda day, plan, given: content(day, plan, given.house),
    is_landscape=True,
)
draw = PAPER.draw
