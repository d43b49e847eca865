"""How a stage is made, in words: its ways, step by step."""

from collections.abc import Container, Iterator

from app.paper import face
from app.planning.day import Demonstration, Phase, Stage, Way
from app.planning.tasks import setting_in_words


def steps(
    demonstration: Demonstration, stage: Stage, used: Container[str], in_fahrenheit: bool
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each of the `used` ways of a stage in words, with its steps."""
    for way in stage.ways:
        if way.id in used:
            told = tuple(_step(phase, in_fahrenheit) for phase in way.phases)
            yield _way_words(demonstration, stage, way), told


def _way_words(demonstration: Demonstration, stage: Stage, way: Way) -> str:
    sets = [
        f"{each.count} {demonstration.stage(each.stage).called}"
        if each.demonstration in {None, demonstration.id}
        else f"{each.count} {each.stage} of {each.demonstration}"
        for each in stage.takes_by(way)
    ]
    gives = face.many(stage.yields_by(way), "copy", "copies")
    made = f" {face.listed(sets)} give{'s' if len(sets) == 1 else ''} {gives}." if sets else ""
    return f"{way.called}:{made}" if made else f"{way.called}:"


def _step(phase: Phase, in_fahrenheit: bool) -> str:
    """Return a step in words: what to do, in what, how long."""
    said = [phase.does or ("Wait." if not phase.hands else "By hand.")]
    for each in phase.equipment:
        degrees = setting_in_words(each.setting, in_fahrenheit)
        said.append(f"In: {each.kind} at {degrees}." if each.setting else f"In: {each.kind}.")
    if phase.zone:
        said.append(f"Stands: {phase.zone}.")
    return f"{' '.join(said)} {_length(phase)}"


def _length(phase: Phase) -> str:
    parts = [face.length(phase.lasts_min)] if phase.lasts_min else []
    if phase.per_copy_min:
        parts.append(f"{phase.per_copy_min} min a copy")
    if phase.per_copy_s:
        parts.append(f"{phase.per_copy_s} s a copy")
    return " + ".join(parts) + "."
