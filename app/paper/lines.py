"""The rows of a cell of the prep board in words, and how much room they take."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from app.paper import face
from app.paper.jobs import Job
from app.paper.letters import Badge, badges, stage_codes
from app.paper.measuring import MM_A_POINT, Piece, lines
from app.planning.care import cautions
from app.planning.cores import core_due_c
from app.planning.day import Day, Run
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import Task, tags_in_words

LONGEST_TAGS = 120
LONGEST_DOES = 260
LONGEST_WORD = 60
LONGEST_CARE = 120
AGAIN = "The same again."
# Sizes and edges as `print.css` has them: words, times, and what stands around them.
WORDS_PT, TIME_PT, SMALL_PT = 11.5, 18.0, 10.0
WORDS_MM, TIMES_MM = 1.15 * WORDS_PT * MM_A_POINT, 6.6
BOX_MM, BADGE_MM, SOON_MM = 6.2, 5.0, 1.6
PADS_MM, CARE_MM, GAP_MM = 4.6, 3.0, 2.6
# In so wide a column both times of a row stand on one line, in a wider one its words begin there.
PAIRED_MM, ROOMY_MM = 60.0, 74.0
RUN_MM = 7.0
RUN_WIDE_MM = 26.0
PLAY = 1.01


@dataclass(frozen=True)
class Then:
    """What the food does by itself, and until when."""

    ends: str
    until: str
    does: str


@dataclass(frozen=True)
class Line:
    """One row of a cell, in words; `is_heeded` where the cautions of the row above hold for it."""

    starts: str
    badge: Badge | None
    stage_code: str
    tags: str
    stage: str
    does: str
    items: str
    others: str
    cautions: tuple[str, ...]
    ends: str
    until: str
    is_reminder: bool
    then: tuple[Then, ...] = ()
    is_heeded: bool = False


class Lines:
    """Puts the rows of one plan into words; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.badges = badges(day, plan)
        self.codes = {each.id: stage_codes(each) for each in day.demonstrations}
        self.ways = {batch.id: batch.way for batch in plan.batches}
        self._told: dict[tuple[str, str, str | None], Line] = {}

    def cell(self, jobs: Iterable[Job], date: str, cook: str | None) -> Iterator[Line]:
        """Yield rows that stand below each other; what two in a row have in common is told once."""
        above: Line | None = None
        for job in jobs:
            line = self.of(job, date, cook)
            yield _shared(line, above) if above else line
            above = line

    def of(self, job: Job, date: str, cook: str | None) -> Line:
        """Return a row in words, as one of its cooks reads it on a date."""
        key = (job.task.key, date, cook)
        if key not in self._told:
            self._told[key] = self._line(job, date, cook)
        return self._told[key]

    def _line(self, job: Job, date: str, cook: str | None) -> Line:
        task = job.task
        others = [name for other, name in zip(task.crew, task.people, strict=True) if other != cook]
        stage = face.clipped(task.stage_name, LONGEST_WORD)
        return Line(
            starts=face.hour(self.clock.text(task.starts), date),
            badge=self.badges.get(task.demonstration),
            stage_code=self.codes[task.demonstration][task.stage] if task.batch else "",
            tags=_tags(task),
            stage="" if task.does.startswith(task.stage_name) else stage,
            does=face.clipped(task.does, LONGEST_DOES),
            items=_few(task.items) if task.kind != "heat" else "",
            others=_few(others),
            cautions=self._cautions(task),
            ends=_ends(task),
            until=face.hour(self.clock.text(task.ends), date),
            is_reminder=task.kind == "heat",
            then=tuple(self._then(each, date, task) for each in job.then),
        )

    def _then(self, task: Task, date: str, before: Task) -> Then:
        by = f" By {_few(task.items)}." if task.items and task.items != before.items else ""
        does = face.clipped(task.does, LONGEST_DOES)
        return Then(_ends(task), face.hour(self.clock.text(task.ends), date), f"{does}{by}")

    def run(self, run: Run) -> str:
        """Return what starts with a run, in words."""
        benches = f", {run.stations} benches" if run.stations > 1 else ""
        dry = ", without food" if run.dry else ""
        return f"{face.clipped(run.called, LONGEST_WORD)}{benches}{dry}"

    def run_mm(self, run: Run) -> float:
        """Return how high a run stands beside its hour."""
        words = Piece(self.run(run), WORDS_PT)
        return RUN_MM + WORDS_MM * lines((words,), lambda _: RUN_WIDE_MM)

    def _cautions(self, task: Task) -> tuple[str, ...]:
        if task.batch is None or task.kind != "hands":
            return ()
        stage = self.day.stage(task.demonstration, task.stage)
        way = next(way for way in stage.ways if way.id == self.ways[task.batch])
        step = int(task.key.rpartition(".")[2])
        told = cautions(stage, way, step, core_due_c(self.day, task.demonstration, stage))
        return tuple(face.clipped(each, LONGEST_CARE) for each in told)


@lru_cache(maxsize=16_384)
def high_mm(line: Line, wide_mm: float) -> float:
    """Return how high a row stands in a column of a width."""
    inner_mm = (wide_mm - PADS_MM) / PLAY - (CARE_MM if line.is_heeded else 0)
    high = GAP_MM + _told_mm(line, wide_mm, inner_mm)
    for words in line.cautions:
        high += WORDS_MM * lines((Piece(words, WORDS_PT),), lambda _: inner_mm - CARE_MM)
    for each in line.then:
        until = Piece(f"then {each.ends}", WORDS_PT, pad_mm=BOX_MM)
        pieces = (
            until,
            Piece(each.until, TIME_PT, True, is_whole=True),
            Piece(each.does, WORDS_PT),
        )
        high += TIMES_MM + WORDS_MM * (lines(pieces, lambda _: inner_mm, WORDS_PT) - 1)
    return high


def _told_mm(line: Line, wide_mm: float, inner_mm: float) -> float:
    """Return how high the times and the words of a row stand."""
    pad_mm = SOON_MM + 10 if line.is_reminder else BOX_MM
    starts = Piece(line.starts, TIME_PT, True, pad_mm, is_whole=True)
    soon = (Piece(line.ends, WORDS_PT, pad_mm=SOON_MM), Piece(line.until, TIME_PT, True))
    badge = (
        Piece(f"{line.badge.code} {line.stage_code}", WORDS_PT, True, BADGE_MM, is_whole=True)
        if line.badge
        else None
    )
    shown, words = (badge,) if badge else (), tuple(_words(line))
    if wide_mm >= ROOMY_MM:
        times = lines((starts, *soon), lambda _: inner_mm, WORDS_PT)
        whole = lines((starts, *soon, *shown, *words), lambda _: inner_mm, WORDS_PT)
        return TIMES_MM * times + WORDS_MM * (whole - times)
    if wide_mm >= PAIRED_MM:
        times = lines((starts, *soon), lambda _: inner_mm, WORDS_PT)
        return TIMES_MM * times + WORDS_MM * lines((*shown, *words), lambda _: inner_mm, WORDS_PT)
    times = lines((starts, *shown), lambda _: inner_mm, WORDS_PT) + 1
    return TIMES_MM * times + WORDS_MM * lines(words, lambda _: inner_mm, WORDS_PT)


def _words(line: Line) -> Iterator[Piece]:
    if line.tags:
        yield Piece(line.tags, WORDS_PT, True)
        yield Piece(f"{line.stage}. {line.does}", WORDS_PT)
    else:
        yield Piece(line.does, WORDS_PT, True)
    if line.items:
        yield Piece(f"By {line.items}.", WORDS_PT)
    if line.others:
        yield Piece(f"With {line.others}.", WORDS_PT)


def _shared(line: Line, above: Line) -> Line:
    """Return a row without what the one above says as well."""
    is_same = (line.badge, line.stage_code, line.does) == (
        above.badge,
        above.stage_code,
        above.does,
    )
    is_heeded = bool(line.cautions) and line.cautions == above.cautions
    does = AGAIN if is_same and len(line.does) > len(AGAIN) and line.tags else line.does
    cautions = () if is_heeded else line.cautions
    return replace(line, does=does, cautions=cautions, is_heeded=is_heeded)


def _ends(task: Task) -> str:
    return "hot by" if task.kind == "heat" else "ready" if task.last else "until"


def _tags(task: Task) -> str:
    words, copies = tags_in_words(task.tags), len(task.copies)
    if len(words) > LONGEST_TAGS:
        return f"{copies} copies, tags on the pull list"
    return words if copies < 3 else f"{words}, {copies} copies"


def _few(names: tuple[str, ...] | list[str]) -> str:
    return face.clipped(face.listed(names), LONGEST_WORD)
