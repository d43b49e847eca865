"""The rows of a cell of the prep board in words, and how much room they take."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import chain, pairwise

from app.paper import face
from app.paper.jobs import Job
from app.paper.letters import Badge, badges, stage_codes
from app.paper.measuring import Piece, largest_pt, wide_mm
from app.paper.setting import ROOMY, Setting
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
# Sizes and edges as `print.css` has them: times, and what stands around them.
TIME_PT, REMIND_PT = 18.0, 10.0
BADGE_MM, SOON_MM = 3.0, 1.6
PADS_MM, CARE_MM = 4.6, 3.0
# In so wide a column both times of a row stand on one line, in a wider one its words begin there.
PAIRED_MM, ROOMY_MM = 60.0, 74.0
RUN_MM = 2.0
PLAY = 1.01


@dataclass(frozen=True)
class Then:
    """What follows on the same row, and until when; with a box where it is to be ticked."""

    ends: str
    until: str
    does: str
    is_ticked: bool


@dataclass(frozen=True)
class Line:
    """One row of a cell, in words; `is_heeded` where the cautions of the row above hold for it.

    `also` are the tags of further batches of which it tells, each with a box of its own.
    """

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
    also: tuple[str, ...] = ()
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
        items = _few(task.items) if task.kind != "heat" else ""
        return Line(
            starts=face.hour(self.clock.text(task.starts), date),
            badge=self.badges.get(task.demonstration),
            stage_code=self.codes[task.demonstration][task.stage] if task.batch else "",
            tags=_tags(task),
            stage="" if task.does.startswith(task.stage_name) else stage,
            does=_does(task, has_more=bool(items or others)),
            items=items,
            others=_few(others),
            cautions=tuple(self._cautions((task, *job.then))),
            ends=_ends(task),
            until=face.hour(self.clock.text(task.ends), date),
            is_reminder=task.kind == "heat",
            then=tuple(
                self._then(each, date, before) for before, each in pairwise((task, *job.then))
            ),
            also=tuple(_tags(each.task) for each in job.beside),
        )

    def _then(self, task: Task, date: str, before: Task) -> Then:
        by = f" By {_few(task.items)}." if task.items and task.items != before.items else ""
        does = _does(task, has_more=bool(by))
        until = face.hour(self.clock.text(task.ends), date)
        return Then(_ends(task), until, f"{does}{by}", task.last or task.kind == "hands")

    def run(self, run: Run) -> str:
        """Return what starts with a run, in words."""
        benches = f", {run.stations} benches" if run.stations > 1 else ""
        dry = ", without food" if run.dry else ""
        return f"{face.clipped(run.called, LONGEST_WORD)}{benches}{dry}"

    def run_mm(self, run: Run, setting: Setting) -> float:
        """Return how high a run stands beside its hour."""
        hour = Piece(face.hour(run.starts), TIME_PT, True, is_whole=True)
        told = (hour, Piece(self.run(run), setting.words_pt))
        return RUN_MM + _high_mm(told, setting.run_wide_mm, setting)

    def _cautions(self, tasks: Iterable[Task]) -> Iterator[str]:
        """Yield what to take care of in the steps of a row, each once."""
        told = [words for task in tasks for words in self._cautions_of(task)]
        yield from (face.clipped(each, LONGEST_CARE) for each in dict.fromkeys(told))

    def _cautions_of(self, task: Task) -> Iterable[str]:
        if task.batch is None or task.kind != "hands":
            return ()
        stage = self.day.stage(task.demonstration, task.stage)
        way = next(way for way in stage.ways if way.id == self.ways[task.batch])
        step = int(task.key.rpartition(".")[2])
        return cautions(stage, way, step, core_due_c(self.day, task.demonstration, stage))


@lru_cache(maxsize=16_384)
def high_mm(line: Line, wide_mm: float, setting: Setting = ROOMY) -> float:
    """Return how high a row stands in a column of a width."""
    inner_mm = (wide_mm - PADS_MM) / PLAY - (CARE_MM if line.is_heeded else 0)
    told = (_high_mm(some, inner_mm, setting) for some in _told(line, wide_mm, setting))
    care = (
        _high_mm((Piece(words, setting.words_pt),), inner_mm - CARE_MM, setting)
        for words in line.cautions
    )
    return setting.gap_mm + sum(told) + sum(care)


def _high_mm(pieces: Iterable[Piece], inner_mm: float, setting: Setting) -> float:
    """Return how high a paragraph stands, of lines with a time and of lines of words."""
    types = largest_pt(pieces, lambda _: inner_mm, setting.words_pt)
    return sum(setting.times_mm if each == TIME_PT else setting.words_mm for each in types)


def _told(line: Line, column_mm: float, setting: Setting) -> Iterator[list[Piece]]:
    """Yield what a row tells, a list of pieces for each paragraph; its cautions come as well."""
    words_pt = setting.words_pt
    pad_mm = SOON_MM + wide_mm("reminder", REMIND_PT) if line.is_reminder else setting.box_mm
    starts = Piece(line.starts, TIME_PT, True, pad_mm, is_whole=True)
    soon = _soon(line.ends, line.until, SOON_MM, words_pt)
    shown: list[Piece] = []
    if line.badge:
        letters = f"{line.badge.code} {line.stage_code}"
        shown = [Piece(letters, words_pt, True, BADGE_MM, is_whole=True)]
    words = list(_words(line, setting))
    then = [_then(each, setting) for each in line.then]
    if setting.flows and column_mm >= PAIRED_MM:
        yield [starts, soon, *shown, *words, *chain.from_iterable(then)]
        return
    if column_mm >= ROOMY_MM:
        yield [starts, soon, *shown, *words]
    elif column_mm >= PAIRED_MM:
        yield from ([starts, soon], [*shown, *words])
    else:
        yield from ([starts, *shown], words, [soon])
    yield from then


def _soon(ends: str, until: str, pad_mm: float, words_pt: float) -> Piece:
    """Return a time and the word before it, which stand on one line."""
    pad_mm += wide_mm(f"{ends} ", words_pt)
    return Piece(until, TIME_PT, True, pad_mm, is_whole=True)


def _words(line: Line, setting: Setting) -> Iterator[Piece]:
    words_pt = setting.words_pt
    if line.tags:
        yield Piece(line.tags, words_pt, True)
        yield from (Piece(each, words_pt, True, setting.box_mm) for each in line.also)
        yield Piece(f"{line.stage}. {line.does}", words_pt)
    else:
        yield Piece(line.does, words_pt, True)
    if line.items:
        yield Piece(f"By {line.items}.", words_pt)
    if line.others:
        yield Piece(f"With {line.others}.", words_pt)


def _then(then: Then, setting: Setting) -> list[Piece]:
    pad_mm = setting.box_mm if then.is_ticked else 0.0
    soon = _soon(f"then {then.ends}", then.until, pad_mm, setting.words_pt)
    return [soon, Piece(then.does, setting.words_pt)]


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


def _does(task: Task, *, has_more: bool) -> str:
    """Return what a task does; with a full stop where another sentence follows."""
    said = face.clipped(task.does, LONGEST_DOES)
    return said if not has_more or said.endswith((".", "!", "?", "…")) else f"{said}."


def _ends(task: Task) -> str:
    return "hot by" if task.kind == "heat" else "ready" if task.last else "until"


def _tags(task: Task) -> str:
    words, copies = tags_in_words(task.tags), len(task.copies)
    if len(words) > LONGEST_TAGS:
        return f"{copies} copies, tags on the pull list"
    return words if copies < 3 else f"{words}, {copies} copies"


def _few(names: tuple[str, ...] | list[str]) -> str:
    return face.clipped(face.listed(names), LONGEST_WORD)
