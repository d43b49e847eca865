"""A plan as rows of work: who does what when. The board, a person's list and the paper share it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Literal

from app.food.measures import fahrenheit
from app.planning.care import cautions
from app.planning.cores import core_due_c
from app.planning.day import Day, Phase, Stage, Way
from app.planning.minutes import Clock
from app.planning.phrases import listed
from app.planning.plan import Batch, Heat, Plan, PlannedPhase

LEAST_DEGREES = 30
# Dials in °F are set in steps of five: what is stored in whole °C is read back as it was set.
STEP_F = 5
Kind = Literal["hands", "alone", "heat"]


@dataclass(frozen=True)
class Task:
    """One row of work; `starts` and `ends` are minutes of the day's `Clock`.

    `kind` is "hands" where crew are held, "alone" where the food needs nobody, "heat" where an
    item is brought to a setting. `near` are the crew who stand closest to a row that holds
    nobody: who had the food in hand before, or who needs the oven next. `first` and `last` say
    whether the batch starts with this row and is staged at its end.
    """

    key: str
    starts: int
    ends: int
    kind: Kind
    does: str
    crew: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    batch: str | None = None
    demonstration: str = ""
    stage: str = ""
    stage_name: str = ""
    copies: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    first: bool = False
    last: bool = False
    caution: str = ""

    @property
    def headline(self) -> str:
        """Return the few words that name the row: what to do, where that is no whole sentence."""
        return self.stage_name if self._is_sentence else self.does

    @property
    def detail(self) -> str:
        """Return what to do as a whole sentence, where the day says it as one."""
        return self.does if self._is_sentence else ""

    @property
    def _is_sentence(self) -> bool:
        return self.does.endswith((".", "!"))


def tasks(day: Day, plan: Plan, in_fahrenheit: bool = False) -> list[Task]:
    """Return every row of work of a plan, in order of starting.

    Parameters
    ----------
    day, plan
        The plan and the day that it was worked out for.
    in_fahrenheit
        Whether the house reads °F: its ovens are told in it, with the day's °C beside.

    Returns
    -------
    list[Task]
        One row a phase of each batch, one a heat; heats come before the work that they serve.
    """
    return _Reader(day, plan, in_fahrenheit).rows()


def tags_in_words(tags: Iterable[str]) -> str:
    """Return tags as a cook says them: `KN-1`, `KN-1 and KN-3`, `KN-1 to KN-18`."""
    spans = [words for code, numbers in _runs_of(tags) for words in _span(code, numbers)]
    if len(spans) < 2:
        return "".join(spans)
    return ", ".join(spans[:-1]) + " and " + spans[-1]


def sentence(task: Task, clock: Clock) -> str:
    """Return the row read aloud: *11:49 mix KN-1, by mixer-a, Ada, until 12:01*."""
    what = f"{task.headline} {tags_in_words(task.tags)}".rstrip()
    detail = f": {task.detail.rstrip('.')}" if task.detail else ""
    parts = [f"{clock.hour(task.starts)} {what}{detail}"]
    if task.items and task.kind != "heat":
        parts.append("by " + listed(task.items))
    if task.people:
        parts.append(listed(task.people))
    until = "ready" if task.kind == "heat" else "until"
    parts.append(f"{until} {clock.hour(task.ends)}")
    return ", ".join(parts)


def setting_in_words(setting: int | None, in_fahrenheit: bool = False) -> str:
    """Return what an item is set to: degrees, or the number on a dial that has no so large one."""
    if setting is None:
        return ""
    if setting < LEAST_DEGREES:
        return f"setting {setting}"
    shown_f = STEP_F * round(fahrenheit(Fraction(setting)) / STEP_F)
    return f"{shown_f} °F ({setting} °C)" if in_fahrenheit else f"{setting} °C"


class _Reader:
    """Reads the rows out of one plan; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan, in_fahrenheit: bool) -> None:
        self.day, self.plan, self.clock = day, plan, Clock(day.timezone)
        self.in_fahrenheit = in_fahrenheit
        self.cooks = {cook.id: cook.called for cook in day.kitchen.crew}
        self.items = {item.id: item for item in day.kitchen.equipment}
        self.tags = {copy.id: copy.tag for copy in plan.copies}
        self.batches = {batch.id: batch for batch in plan.batches}
        self.maker = {copy: batch.id for batch in plan.batches for copy in batch.copies}

    def rows(self) -> list[Task]:
        rows = [row for batch in self.plan.batches for row in self._of_batch(batch)]
        rows += [self._of_heat(heat) for heat in self.plan.heats]
        return sorted(rows, key=lambda row: (row.starts, row.kind != "heat", row.ends, row.key))

    def _of_batch(self, batch: Batch) -> Iterator[Task]:
        demonstration = self.day.demonstration(batch.demonstration)
        stage = demonstration.stage(batch.stage)
        way = next(way for way in stage.ways if way.id == batch.way)
        near, core_c = self._had_it(batch), core_due_c(self.day, demonstration.id, stage)
        for index, (phase, planned) in enumerate(zip(way.phases, batch.phases, strict=True)):
            near = planned.crew or near
            yield Task(
                key=f"{batch.id}.{index}",
                starts=self.clock.minute(planned.starts),
                ends=self.clock.minute(planned.ends),
                kind="hands" if planned.crew else "alone",
                does=phase.does or _fallback(stage, way, index),
                crew=planned.crew,
                near=() if planned.crew else near,
                people=tuple(self.cooks.get(cook, cook) for cook in planned.crew),
                items=tuple(self._items(phase, planned)),
                batch=batch.id,
                demonstration=demonstration.id,
                stage=stage.id,
                stage_name=stage.called,
                copies=batch.copies,
                tags=tuple(self.tags.get(copy, copy) for copy in batch.copies),
                first=index == 0,
                last=index == len(batch.phases) - 1,
                caution=" ".join(cautions(stage, way, index, core_c)),
            )

    def _items(self, phase: Phase, planned: PlannedPhase) -> Iterator[str]:
        settings = {each.kind: each.setting for each in phase.equipment}
        for held in planned.equipment:
            item = self.items[held.id]
            setting = settings.get(item.kind)
            shown = setting is not None and item.settings is not None
            degrees = setting_in_words(setting, self.in_fahrenheit)
            yield f"{item.called} at {degrees}" if shown else item.called

    def _had_it(self, batch: Batch) -> tuple[str, ...]:
        """Return the crew who last had the inputs of a batch in hand."""
        latest: tuple[int, tuple[str, ...]] = (-1, ())
        for maker in sorted({self.maker[each] for each in batch.consumes if each in self.maker}):
            for phase in self.batches[maker].phases:
                if phase.crew:
                    latest = max(latest, (self.clock.minute(phase.ends), phase.crew))
        return latest[1]

    def _of_heat(self, heat: Heat) -> Task:
        item, starts = self.items[heat.equipment], self.clock.minute(heat.starts)
        verb = "light" if self._is_cold(heat) else "turn"
        return Task(
            key=f"{heat.equipment}.{heat.starts}",
            starts=starts,
            ends=self.clock.minute(heat.ends),
            kind="heat",
            does=f"{verb} {item.called} to {setting_in_words(heat.setting, self.in_fahrenheit)}",
            near=self._needs_it(heat),
            items=(item.called,),
        )

    def _uses_of(self, equipment: str) -> Iterator[PlannedPhase]:
        for batch in self.plan.batches:
            for phase in batch.phases:
                if any(held.id == equipment for held in phase.equipment):
                    yield phase

    def _is_cold(self, heat: Heat) -> bool:
        settings = self.items[heat.equipment].settings
        used = [self.clock.minute(phase.ends) for phase in self._uses_of(heat.equipment)]
        ready = self.clock.minute(heat.ends)
        last = max((minute for minute in used if minute <= ready), default=None)
        return last is None or settings is None or ready - last > settings.cold_after

    def _needs_it(self, heat: Heat) -> tuple[str, ...]:
        for phase in self._uses_of(heat.equipment):
            if phase.starts == heat.ends and phase.crew:
                return phase.crew
        return ()


def _fallback(stage: Stage, way: Way, index: int) -> str:
    """Return words for a phase whose `does` is empty: the stage that it makes, and how."""
    words = stage.called if way.called == stage.called else f"{stage.called} ({way.called})"
    return words if len(way.phases) == 1 else f"{words}, step {index + 1}"


def _runs_of(tags: Iterable[str]) -> Iterator[tuple[str, list[int]]]:
    """Yield a code and the numbers that follow each other without a gap."""
    pairs = enumerate(sorted({_parted(tag) for tag in tags}))
    for (code, _), run in groupby(pairs, key=lambda each: (each[1][0], each[1][1] - each[0])):
        yield code, [number for _, (_, number) in run]


def _parted(tag: str) -> tuple[str, int]:
    code, _, number = tag.rpartition("-")
    return (code, int(number)) if number.isdigit() else (tag, 0)


def _span(code: str, numbers: list[int]) -> list[str]:
    """Return a run of tags: one by one up to two, else from first to last."""
    if numbers == [0]:
        return [code]
    if len(numbers) <= 2:
        return [f"{code}-{number}" for number in numbers]
    return [f"{code}-{numbers[0]} to {code}-{numbers[-1]}"]
