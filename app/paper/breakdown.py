"""Breakdown: a page or two a demonstration, from its stages and ways to its swaps and counts."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.paper import face
from app.paper.letters import Badge, badges, stage_codes
from app.paper.paper import Paper
from app.paper.runsheet import stopwatch, things_for_set
from app.paper.steps import steps
from app.planning.care import cautions
from app.planning.cores import core_due_c
from app.planning.dates import short_date
from app.planning.day import Beat, Day, Demonstration, Ingredient, Leaving, Need, Stage
from app.planning.plan import Count, Plan
from app.planning.pulls import BeatPull, beat_pulls, multiplied

NOT_AGAIN = "not used again"


@dataclass(frozen=True)
class Made:
    """A stage: how it is made, with what, what it looks like. A way that is planned is `used`."""

    code: str
    name: str
    ways: tuple[tuple[str, tuple[str, ...], bool], ...]
    comes: str
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    is_eaten: bool


@dataclass(frozen=True)
class Swap:
    """A beat: what is swapped in, what it leaves, what of that is used again, in words."""

    second: str
    lasts: str
    name: str
    kinds: str
    takes: tuple[str, ...]
    leaves: tuple[str, ...]
    again: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    note: str


@dataclass(frozen=True)
class Page:
    """All of one demonstration."""

    badge: Badge
    title: str
    runs: tuple[str, ...]
    stages: tuple[Made, ...]
    swaps: tuple[Swap, ...]
    counts: tuple[tuple[str, Count], ...]


def pages(day: Day, plan: Plan, in_fahrenheit: bool = False) -> list[Page]:
    """Return a page for each demonstration."""
    reader = _Reader(day, plan, in_fahrenheit)
    return [reader.page(each) for each in day.demonstrations]


class _Reader:
    """Reads the breakdown out of one plan; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan, in_fahrenheit: bool) -> None:
        self.day, self.badges = day, badges(day, plan)
        self.in_fahrenheit = in_fahrenheit
        self.used = {(each.demonstration, each.stage, each.way) for each in plan.batches}
        self.counts = {(each.demonstration, each.stage): each for each in plan.counts}
        self.pulls = beat_pulls(day, plan)

    def page(self, demonstration: Demonstration) -> Page:
        codes = stage_codes(demonstration)
        return Page(
            badge=self.badges[demonstration.id],
            title=demonstration.title,
            runs=tuple(self._runs(demonstration)),
            stages=tuple(
                self._made(demonstration, stage, codes[stage.id]) for stage in demonstration.stages
            ),
            swaps=tuple(self._swap(demonstration, beat) for beat in demonstration.beats),
            counts=tuple(
                (stage.called, self.counts[demonstration.id, stage.id])
                for stage in demonstration.stages
                if (demonstration.id, stage.id) in self.counts
            ),
        )

    def _runs(self, demonstration: Demonstration) -> Iterator[str]:
        for run in self.day.runs:
            if run.demonstration == demonstration.id:
                benches = f", {run.stations} benches" if run.stations > 1 else ""
                dry = ", without food" if run.dry else ""
                when = f"{short_date(run.starts)}, {face.hour(run.starts)}"
                yield f"{run.called}, {when}{benches}{dry}"

    def _made(self, demonstration: Demonstration, stage: Stage, code: str) -> Made:
        ways = [
            (words, done, (demonstration.id, stage.id, way.id) in self.used)
            for way in stage.ways
            for words, done in steps(demonstration, stage, {way.id}, self.in_fahrenheit)
        ]
        core_c = core_due_c(self.day, demonstration.id, stage)
        told = (cautions(stage, way, core_c=core_c) for way in stage.ways)
        care = dict.fromkeys(words for some in told for words in some)
        return Made(
            code=code,
            name=stage.called,
            ways=tuple(ways),
            comes="" if ways else self._comes(demonstration, stage),
            facts=tuple(_facts(stage)),
            cautions=tuple(care),
            is_eaten=stage.ready_to_eat,
        )

    def _comes(self, demonstration: Demonstration, stage: Stage) -> str:
        left = [
            f"left by {beat.called}"
            for beat in demonstration.beats
            if any(each.stage == stage.id for each in beat.leaves)
        ]
        here = [(each.demonstration, each.stage) for each in self.day.stock]
        stock = ["from stock"] if (demonstration.id, stage.id) in here else []
        return face.listed([*left, *stock])

    def _swap(self, demonstration: Demonstration, beat: Beat) -> Swap:
        mine = [
            each
            for each in self.pulls
            if (each.demonstration, each.beat) == (demonstration.id, beat.id)
        ]
        return Swap(
            second=stopwatch(beat.starts_s),
            lasts=stopwatch(beat.lasts_s),
            name=beat.called,
            kinds=f"only in {face.listed(beat.kinds)}" if beat.kinds else "",
            takes=tuple(_need(demonstration, need) for need in beat.needs),
            leaves=tuple(_leaving(demonstration, leaving) for leaving in beat.leaves),
            again=tuple(_again(mine)),
            facts=tuple(things_for_set(multiplied(beat.ingredients, 1, 1, 1), beat)),
            note=beat.note,
        )


def _facts(stage: Stage) -> Iterator[tuple[str, str]]:
    if stage.ingredients:
        yield "Goes in", face.listed(map(_ingredient, stage.ingredients))
    if stage.tools:
        yield "Tools", face.listed(stage.tools)
    if stage.container:
        yield "In", stage.container
    if stage.look:
        yield "Done when", stage.look
    yield "Keeps", f"{face.length(stage.keeps_min)}, {stage.zone}"


def _ingredient(each: Ingredient) -> str:
    """Return an ingredient with its amount: a copy's, unless it says of what."""
    much = f" {each.amount:g} {each.unit}".rstrip() if each.amount is not None else ""
    return f"{each.name}{much}" + ("" if each.per == "copy" else f" a {each.per}")


def _need(demonstration: Demonstration, need: Need) -> str:
    stage = demonstration.stage(need.stage).called
    said = [f"{need.count} {stage}"]
    said += ["not yet on camera"] if need.untouched else []
    said += ["to be tasted"] if need.tasting else []
    said += [f"{need.backups} to stand by"] if need.backups else []
    return ", ".join(said)


def _leaving(demonstration: Demonstration, leaving: Leaving) -> str:
    return f"{leaving.count} {demonstration.stage(leaving.stage).called}"


def _again(pulls: list[BeatPull]) -> Iterator[str]:
    """Yield what of the copies that a beat leaves is used again, in all of its runs."""
    for pull in pulls:
        for fetch in pull.comes_back:
            if fetch.bound_for != NOT_AGAIN:
                yield f"{pull.run_name}: {fetch.label} {fetch.bound_for}"


PAPER = Paper(
    "breakdown.html",
    "Breakdown",
    lambda day, plan, given: {"pages": pages(day, plan, given.house.in_fahrenheit)},
)
draw = PAPER.draw
