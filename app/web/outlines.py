"""A demonstration in words, before it is stored: what is made of what, by which ways, how long."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.planning.dates import lasting
from app.planning.day import Demonstration, Ingredient, Input, Phase, Stage, Way
from app.planning.tasks import setting_in_words
from app.web import words
from app.web.fields.demonstrations import Much
from app.web.letters import stage_codes


@dataclass(frozen=True)
class WayTold:
    """A way in words; each phase says what is done, and what that takes."""

    name: str
    takes: str
    batch: str
    lasts: str
    phases: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class StageTold:
    """A stage with its ways in words, and what goes in with how much of it."""

    stage: Stage
    code: str
    keeps: str
    ways: tuple[WayTold, ...]
    goes_in: tuple[tuple[str, Ingredient], ...]


def outlined(
    shown: Demonstration, known: Mapping[str, Demonstration], in_fahrenheit: bool
) -> list[StageTold]:
    """Return the stages of a demonstration in words; `known` has those that it is made from."""
    codes = stage_codes(shown)
    return [
        StageTold(
            stage=each,
            code=codes[each.id],
            keeps=lasting(each.keeps_min),
            ways=tuple(_way(known, shown, each, way, in_fahrenheit) for way in each.ways),
            goes_in=tuple(
                (Much().say((part.amount, part.unit)), part) for part in each.ingredients
            ),
        )
        for each in shown.stages
    ]


def _way(
    known: Mapping[str, Demonstration],
    shown: Demonstration,
    stage: Stage,
    way: Way,
    in_fahrenheit: bool,
) -> WayTold:
    yields = stage.yields_by(way)
    takes = words.listed([_input(known, shown, each) for each in stage.takes_by(way)])
    gives = f" give {yields}" if yields > 1 else ""
    lasts = [lasting(way.length_min(count)) for count in (1, way.batch_max)]
    return WayTold(
        name=way.called,
        takes=f"{takes}{gives}" if takes else "from ingredients",
        batch=f"up to {way.batch_max} at once" if way.batch_max > 1 else "one at once",
        lasts=lasts[0] if lasts[0] == lasts[1] else f"{lasts[0]} for one, {lasts[1]} for a batch",
        phases=tuple(
            (phase.does or way.called, _takes(phase, in_fahrenheit)) for phase in way.phases
        ),
    )


def _input(known: Mapping[str, Demonstration], shown: Demonstration, taken: Input) -> str:
    home = known.get(taken.demonstration or shown.id, shown)
    name = next((each.called for each in home.stages if each.id == taken.stage), taken.stage)
    return f"{taken.count} {name}" + ("" if home.id == shown.id else f" of {home.title}")


def _takes(phase: Phase, in_fahrenheit: bool) -> str:
    """Return how long a phase lasts, by whom and in what."""
    each = words.listed(
        [f"{phase.per_copy_min} min a copy"] * bool(phase.per_copy_min)
        + [f"{phase.per_copy_s} s a copy"] * bool(phase.per_copy_s)
    )
    fixed = lasting(phase.lasts_min) if phase.lasts_min or not each else ""
    told = [" and ".join(part for part in (fixed, each) if part)]
    skill = f", {phase.skill}" if phase.skill else ""
    told.append(words.many(phase.hands, "person", "people") + skill if phase.hands else "by itself")
    for held in phase.equipment:
        degrees = setting_in_words(held.setting, in_fahrenheit)
        told.append(f"{held.kind} at {degrees}" if degrees else held.kind)
    return ", ".join([*told, f"stands {phase.zone}"] if phase.zone else told)
