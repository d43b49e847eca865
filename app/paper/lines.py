"""One task as the lines of a cell, and how much room they take."""

from dataclasses import dataclass
from textwrap import wrap

from app.paper import face
from app.paper.letters import Badge, badges, stage_codes
from app.planning.care import cautions
from app.planning.cores import core_due_c
from app.planning.day import Day, Run
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import Task, tags_in_words, tasks

LONGEST_TAGS = 120
LONGEST_DOES = 260
LONGEST_WORD = 60
LONGEST_CARE = 120
# Measured on the face at 11.5 pt: how wide a sign is on average, how high a line stands. Of a roomy
# task the first line bears its times and badge; the others stand closer.
SIGN_MM = 1.82
LINE_MM = 5.0
CLOSE_MM = 4.6
TIMES_MM = 7.0
TIMES_WIDE_MM = 68.0
DAYS_WIDE_MM = 13.0
ROOMY_MM = 74.0
WRITE_MM = 5.3
GAP_MM = 2.5
PADS_MM = 4.6
RUN_MM = 7.0
RUN_SIGNS = 12


@dataclass(frozen=True)
class Line:
    """One task in a cell, in words."""

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


class Lines:
    """Puts the tasks of one plan into words; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.tasks = tasks(day, plan)
        self.badges = badges(day, plan)
        self.codes = {each.id: stage_codes(each) for each in day.demonstrations}
        self._high_mm: dict[tuple[str, float], float] = {}
        self.ways = {batch.id: batch.way for batch in plan.batches}

    def of(self, task: Task, date: str, cook: str | None) -> Line:
        """Return a task in words, as one of its cooks reads it on a date."""
        others = [name for other, name in zip(task.crew, task.people, strict=True) if other != cook]
        starts, ends = self.clock.text(task.starts), self.clock.text(task.ends)
        stage = face.clipped(task.stage_name, LONGEST_WORD)
        return Line(
            starts=face.hour(starts, date),
            badge=self.badges.get(task.demonstration),
            stage_code=self.codes[task.demonstration][task.stage] if task.batch else "",
            tags=_tags(task),
            stage="" if task.does.startswith(task.stage_name) else stage,
            does=face.clipped(task.does, LONGEST_DOES),
            items=_few(task.items) if task.kind != "heat" else "",
            others=_few(others),
            cautions=self._cautions(task),
            ends="hot by" if task.kind == "heat" else "ready" if task.last else "until",
            until=face.hour(ends, date),
            is_reminder=task.kind == "heat",
        )

    def run(self, run: Run) -> str:
        """Return what starts with a run, in words."""
        benches = f", {run.stations} benches" if run.stations > 1 else ""
        dry = ", without food" if run.dry else ""
        return f"{face.clipped(run.called, LONGEST_WORD)}{benches}{dry}"

    def run_mm(self, run: Run) -> float:
        """Return about how high a run stands beside its hour."""
        return RUN_MM + LINE_MM * len(wrap(self.run(run), RUN_SIGNS))

    def high_mm(self, task: Task, wide_mm: float) -> float:
        """Return about how high the task stands in a column of a width."""
        if (task.key, wide_mm) in self._high_mm:
            return self._high_mm[task.key, wide_mm]
        signs = max(1, int((wide_mm - PADS_MM) / SIGN_MM))
        line = self.of(task, self.clock.date(task.starts), None)
        # Tags are bold, which is wider.
        tags = f"{line.tags}{'x' * (len(line.tags) // 10)} {line.stage}. " if line.tags else ""
        by = f" By {line.items}." if line.items else ""
        others = f" With {line.others}." if line.others else ""
        text = f"{tags}{line.does}{by}{others}"
        high_mm = TIMES_MM + GAP_MM + (WRITE_MM if task.crew else 0)
        if wide_mm < ROOMY_MM:
            high_mm += TIMES_MM + LINE_MM * len(wrap(text, signs))
        else:
            beside = TIMES_WIDE_MM + DAYS_WIDE_MM * (self._is_long(task) + 1)
            ahead = "x" * min(signs, int(beside / SIGN_MM))
            high_mm += CLOSE_MM * (len(wrap(f"{ahead} {text}", signs)) - 1)
        high_mm += LINE_MM * sum(len(wrap(f" {each}", signs)) for each in line.cautions)
        self._high_mm[task.key, wide_mm] = high_mm
        return high_mm

    def _is_long(self, task: Task) -> bool:
        """Return whether a task ends on another date than it begins."""
        return self.clock.date(task.starts) != self.clock.date(task.ends)

    def _cautions(self, task: Task) -> tuple[str, ...]:
        if task.batch is None or task.kind != "hands":
            return ()
        stage = self.day.stage(task.demonstration, task.stage)
        way = next(way for way in stage.ways if way.id == self.ways[task.batch])
        step = int(task.key.rpartition(".")[2])
        told = cautions(stage, way, step, core_due_c(self.day, task.demonstration, stage))
        return tuple(face.clipped(each, LONGEST_CARE) for each in told)


def _tags(task: Task) -> str:
    words, copies = tags_in_words(task.tags), len(task.copies)
    if len(words) > LONGEST_TAGS:
        return f"{copies} copies, tags on the pull list"
    return words if copies < 3 else f"{words}, {copies} copies"


def _few(names: tuple[str, ...] | list[str]) -> str:
    return face.clipped(face.listed(names), LONGEST_WORD)
