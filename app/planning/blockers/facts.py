"""The facts of a day that can be named as standing in the way, each droppable by itself."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from app.planning.day import Day, Phase, Run, Stage

Kind = Literal["run", "need", "keeps", "way", "equipment", "crew", "shelf", "prep_from", "policy"]
TOLD_IN = ("run", "need", "way", "keeps", "equipment", "crew", "shelf", "prep_from", "policy")
IN_THE_KITCHEN = ("crew", "equipment", "shelf")


@dataclass(frozen=True, order=True)
class Fact:
    """One fact of a day.

    `part` says which side of the thing is meant, where it has several: of equipment its units,
    its settings, the time between them (change) or its closed spans; of a cook the shifts, the
    skills, or that they do one thing at a time (hands); of a run or a need its own margin.
    """

    kind: Kind
    ids: tuple[str, ...]
    part: str = ""


def facts_of(day: Day, demonstrations: frozenset[str]) -> list[Fact]:
    """Return what can be dropped of a day beside runs and needs, what people grasp best first.

    Parameters
    ----------
    day
        The day.
    demonstrations
        Those that matter: of the others nothing is told.
    """
    stages = [
        (demonstration.id, stage)
        for demonstration, stage in day.all_stages()
        if demonstration.id in demonstrations
    ]
    phases = [phase for _, stage in stages for way in stage.ways for phase in way.phases]
    return [
        *_of_stages(stages),
        *_margins(day, demonstrations),
        *_of_policy(day, stages),
        Fact("prep_from", ()),
        *_of_crew(day, phases),
        *_of_equipment(day, phases),
        *(Fact("shelf", (shelf.id,)) for shelf in day.kitchen.shelves),
    ]


def needs_of_run(day: Day, run: Run) -> Iterator[Fact]:
    """Yield the needs of one run, each with its backups, in the order of the beats."""
    if run.dry:
        return
    for beat in day.beats_of(run):
        for need in beat.needs:
            yield Fact("need", (run.id, beat.id, need.stage))


def _of_stages(stages: list[tuple[str, Stage]]) -> Iterator[Fact]:
    for demonstration, stage in stages:
        for way in stage.ways:
            yield Fact("way", (demonstration, stage.id, way.id))
    for demonstration, stage in stages:
        yield Fact("keeps", (demonstration, stage.id))


def _margins(day: Day, demonstrations: frozenset[str]) -> Iterator[Fact]:
    for run in day.runs:
        if run.demonstration not in demonstrations or run.dry:
            continue
        if run.ready_margin_min:
            yield Fact("run", (run.id,), "margin")
        for beat in day.beats_of(run):
            for need in beat.needs:
                if need.ready_margin_min:
                    yield Fact("need", (run.id, beat.id, need.stage), "margin")


def _of_policy(day: Day, stages: list[tuple[str, Stage]]) -> Iterator[Fact]:
    for name in ("ready_margin_min", "return_min", "step_slack_min"):
        if getattr(day.policy, name):
            yield Fact("policy", (name,))
    if any(stage.loss_by(way) > 0 for _, stage in stages for way in stage.ways):
        yield Fact("policy", ("confidence",))
    if not day.policy.reuse:
        yield Fact("policy", ("reuse",))


def _of_crew(day: Day, phases: list[Phase]) -> Iterator[Fact]:
    if not any(phase.hands for phase in phases):
        return
    wanted = {phase.skill for phase in phases if phase.skill is not None}
    for cook in day.kitchen.crew:
        yield Fact("crew", (cook.id,), "shifts")
    for cook in day.kitchen.crew:
        yield Fact("crew", (cook.id,), "hands")
    for cook in day.kitchen.crew:
        if wanted - set(cook.skills):
            yield Fact("crew", (cook.id,), "skills")


def _of_equipment(day: Day, phases: list[Phase]) -> Iterator[Fact]:
    used = {entry.kind for phase in phases for entry in phase.equipment}
    items = [item for item in day.kitchen.equipment if item.kind in used]
    for item in items:
        yield Fact("equipment", (item.id,), "units")
    for item in items:
        if item.settings is not None:
            yield Fact("equipment", (item.id,), "settings")
            if item.settings.change_min:
                yield Fact("equipment", (item.id,), "change")
    for item in items:
        if item.closed:
            yield Fact("equipment", (item.id,), "closed")
