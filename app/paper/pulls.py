"""Pull list: a page a stage, with what goes in, from where, and where the copies go."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from app.food.larder import Larder
from app.paper import face
from app.paper.for_set import set_pages
from app.paper.letters import Badge, badges, stage_codes
from app.paper.measuring import Piece, lines
from app.paper.of_house import NOTHING, OfHouse
from app.paper.paper import Given, Paper
from app.paper.steps import steps
from app.planning.care import cautions
from app.planning.cores import core_due_c
from app.planning.dates import short_date
from app.planning.day import Day, Stage
from app.planning.eating import Eatings
from app.planning.fetches import Fetch
from app.planning.minutes import Clock
from app.planning.plan import Batch, Plan
from app.planning.pulls import Amount, BatchPull, StagePull, stage_pulls
from app.planning.weighing import NO_LARDER

WEIGHED_ACROSS = 3
PLACES_A_ROW = 6
# As `print.css` has it in usual type: what a page has room for below its heads, the columns of
# places, and how high a line, the head of a weighing and a row of it are.
ROOM_MM, TAKE_MM, PUT_MM, RAW_MM = 205.0, 49.0, 63.0, 91.0
LINE_MM, WEIGHING_MM, WEIGHED_MM = 5.1, 17.0, 10.2
TYPE_PT = 11.5


@dataclass(frozen=True)
class Row:
    """One batch: when, which copies, what it takes from where, where it goes."""

    date: str
    starts: str
    ends: str
    label: str
    copies: int
    how: str
    is_more: bool
    has_inputs: bool
    inputs: tuple[Fetch, ...]
    goes: tuple[tuple[str, tuple[Fetch, ...]], ...]
    eaten: str


@dataclass(frozen=True)
class Weighing:
    """Ingredients of a few batches, an amount and a blank for each; and of all batches."""

    batches: tuple[tuple[str, int], ...]
    rows: tuple[tuple[Amount, tuple[Amount, ...]], ...]


@dataclass(frozen=True)
class Page:
    """All of one stage; `is_long` where it would need a second page in usual type."""

    badge: Badge
    code: str
    pull: StagePull
    stage: Stage
    counted: str
    cautions: tuple[str, ...]
    contains: str
    rows: tuple[Row, ...]
    weighings: tuple[Weighing, ...]
    steps: tuple[tuple[str, tuple[str, ...]], ...]

    @property
    def is_long(self) -> bool:
        """Return whether so much stands on it that it is set closer."""
        weighed_mm = sum(WEIGHING_MM + WEIGHED_MM * len(each.rows) for each in self.weighings)
        facts_mm = LINE_MM * sum(1 + len(words) for _, words in self.steps)
        dates_mm = 2 * LINE_MM * len({row.date for row in self.rows})
        rows_mm = sum(map(_high_mm, self.rows)) + 2 * LINE_MM * len(self.cautions)
        return rows_mm + weighed_mm + facts_mm + dates_mm > ROOM_MM


def pages(day: Day, plan: Plan, larder: Larder = NO_LARDER, house: OfHouse = NOTHING) -> list[Page]:
    """Return a page for each stage that the plan makes."""
    told, clock = badges(day, plan), Clock(day.timezone)
    ways = {batch.id: batch.way for batch in plan.batches}
    eaten = _eaten(Eatings(day, plan, house.watch), plan)
    found = []
    for pull in stage_pulls(day, plan, larder):
        demonstration = day.demonstration(pull.demonstration)
        stage = demonstration.stage(pull.stage)
        used = {ways[each.batch] for each in pull.batches}
        page = Page(
            badge=told[demonstration.id],
            code=stage_codes(demonstration)[stage.id],
            pull=pull,
            stage=stage,
            counted=_counted(pull),
            cautions=tuple(_cautions(stage, used, core_due_c(day, demonstration.id, stage))),
            contains=face.listed(_contains(stage)),
            rows=tuple(row for batch in pull.batches for row in _rows(clock, batch, eaten)),
            weighings=tuple(_weighings(clock, pull)),
            steps=tuple(steps(demonstration, stage, used, house.in_fahrenheit)),
        )
        found.append(page)
    return found


def _counted(pull: StagePull) -> str:
    copies = face.many(pull.copies, "copy", "copies")
    return f"{copies} in {face.many(len(pull.batches), 'batch', 'batches')}"


def _cautions(stage: Stage, used: set[str], core_c: int | None) -> Iterator[str]:
    seen: set[str] = set()
    for way in stage.ways:
        for words in cautions(stage, way, core_c=core_c) if way.id in used else ():
            if words not in seen:
                seen.add(words)
                yield words


def _contains(stage: Stage) -> list[str]:
    return sorted({name for each in stage.ingredients for name in each.contains})


def _eaten(eatings: Eatings, plan: Plan) -> dict[str, str]:
    """Return until when all copies of a batch may be eaten, in words, where its stage may be."""
    copies, found = {copy.id: copy for copy in plan.copies}, {}
    for batch in plan.batches:
        if not eatings.day.stage(batch.demonstration, batch.stage).ready_to_eat:
            continue
        some = [copies[id] for id in batch.copies if id in copies]
        told = [eatings.of(copy, eatings.histories.staged(copy)) for copy in some]
        untils = [each.until for each in told if each.until is not None]
        until = f" until {_when(eatings.clock, min(untils), batch)}" if untils else ""
        is_safe = all(each.is_safe for each in told)
        found[batch.id] = f"safe to eat{until}" if is_safe else "NOT FOR EATING"
    return found


def _when(clock: Clock, minute: int, batch: Batch) -> str:
    return face.hour(clock.text(minute), batch.ends)


def _rows(clock: Clock, batch: BatchPull, eaten: dict[str, str]) -> Iterator[Row]:
    """Yield a row of a batch; one with many places goes on in further rows, so none is cut."""
    starts, ends = clock.text(batch.starts), clock.text(batch.ends)
    people = face.listed(batch.people)
    for first in range(0, max(1, len(batch.inputs), len(batch.goes)), PLACES_A_ROW):
        some = slice(first, first + PLACES_A_ROW)
        yield Row(
            date=short_date(starts),
            starts=face.hour(starts),
            ends=face.hour(ends, starts),
            label=batch.label,
            copies=batch.copies,
            how=f"{batch.way_name}, {people}" if people else batch.way_name,
            is_more=first > 0,
            has_inputs=bool(batch.inputs),
            inputs=batch.inputs[some],
            goes=tuple(_goes(batch.goes[some])),
            eaten=eaten.get(batch.batch, ""),
        )


def _high_mm(row: Row) -> float:
    """Return about how high a batch stands: where its inputs are from, where its copies go."""
    put_mm = PUT_MM if row.has_inputs else RAW_MM
    goes = [each for _, fetches in row.goes for each in fetches]
    puts = _lines((f"{each.label}: {each.place}" for each in goes), put_mm) + len(row.goes)
    takes = (f"{each.label} {each.stage_name}: {each.place}" for each in row.inputs)
    return LINE_MM * (max(3, puts, _lines(takes, TAKE_MM)) + 0.5)


def _lines(told: Iterable[str], wide_mm: float) -> int:
    return sum(lines((Piece(each, TYPE_PT),), lambda _: wide_mm) for each in told)


def _goes(goes: tuple[Fetch, ...]) -> Iterator[tuple[str, tuple[Fetch, ...]]]:
    """Yield what the copies are for, with where those of it go."""
    for bound_for in dict.fromkeys(each.bound_for for each in goes):
        yield bound_for, tuple(each for each in goes if each.bound_for == bound_for)


def _weighings(clock: Clock, pull: StagePull) -> Iterator[Weighing]:
    """Yield the ingredients, as many batches across as fit; more of them go on below."""
    if pull.ingredients and not any(each.amount for each in pull.ingredients):
        # There is nothing to weigh where all is to taste.
        yield Weighing((), tuple((whole, ()) for whole in pull.ingredients))
        return
    batches = pull.batches if pull.ingredients else ()
    dates = {clock.date(batch.starts) for batch in batches}
    for first in range(0, len(batches), WEIGHED_ACROSS):
        some = batches[first : first + WEIGHED_ACROSS]
        times = [clock.text(batch.starts) for batch in some]
        yield Weighing(
            batches=tuple(
                (face.hour(time, time if len(dates) == 1 else ""), batch.copies)
                for time, batch in zip(times, some, strict=True)
            ),
            rows=tuple(
                (whole, tuple(batch.ingredients[index] for batch in some))
                for index, whole in enumerate(pull.ingredients)
            ),
        )


def _shown(day: Day, plan: Plan, given: Given) -> dict[str, Any]:
    larder = given.larder or NO_LARDER
    return {
        "pages": pages(day, plan, larder, given.house),
        "set_pages": set_pages(day, plan, larder),
    }


PAPER = Paper("pulls.html", "Pull list", _shown)
draw = PAPER.draw
