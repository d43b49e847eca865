"""Things that may be named once only: stages in a list, kinds in a phase, beats of a run."""

from collections.abc import Hashable, Iterable, Iterator

from app.planning.refusals.fault import Found, Path, place, shown
from app.planning.refusals.outline import Outline

Named = tuple[Path, Hashable, str | None]


def stage_twice_in_from(day: Outline) -> Iterator[Found]:
    """Find a stage that one `from` names twice, of the same demonstration."""
    for demonstration, stage in day.all_stages:
        own = demonstration.text("id")
        for holder in (stage, *stage.parts("ways")):
            yield from _twice(
                (
                    each.at("stage"),
                    (each.text("demonstration") if each.given("demonstration") else own),
                    each.text("stage"),
                )
                for each in holder.parts("from")
            )


def stage_twice_in_a_beat(day: Outline) -> Iterator[Found]:
    """Find a stage that one beat needs, or leaves, twice."""
    for _, beat in day.all_beats:
        for key in ("needs", "leaves"):
            yield from _twice(
                (each.at("stage"), None, each.text("stage")) for each in beat.parts(key)
            )


def kind_twice_in_a_phase(day: Outline) -> Iterator[Found]:
    """Find a kind of equipment that one phase uses twice."""
    for phase in day.all_phases:
        yield from _twice(
            (each.at("kind"), None, each.text("kind")) for each in phase.parts("equipment")
        )


def beat_twice_in_a_run(day: Outline) -> Iterator[Found]:
    """Find a beat that one run lists twice."""
    for run in day.root.parts("runs"):
        yield from _twice(
            (run.at("beats", number), None, beat) for number, beat in run.entries("beats")
        )


def _twice(named: Iterable[Named]) -> Iterator[Found]:
    """Find what is named again; what has no name is left alone."""
    first: dict[Hashable, Path] = {}
    for path, home, name in named:
        if name is None:
            continue
        if (home, name) in first:
            there = place(first[home, name])
            yield Found(path, f"{shown(name)} stands at {there} already; keep one of the two")
        first.setdefault((home, name), path)


RULES = (stage_twice_in_from, stage_twice_in_a_beat, kind_twice_in_a_phase, beat_twice_in_a_run)
