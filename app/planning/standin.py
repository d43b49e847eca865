"""Who takes over where the planned crew of a batch that has begun are not there."""

from app.planning.draft import Made, Work
from app.planning.frozen import Frozen, Uncovered
from app.planning.hours import shifts_of
from app.planning.kept import Kept


def stand_in(kept: Kept, frozen: Frozen) -> None:
    """Give each phase to come of what has begun, whose crew are away, to others that are free.

    Where nobody is, the planned crew stay named: somebody has to see to it.

    Parameters
    ----------
    kept
        What stays of the published plan.
    frozen
        What a search takes as it is.
    """
    for phase in sorted(frozen.uncovered, key=lambda each: (each.starts, each.batch)):
        work = kept.made[phase.batch].work[phase.phase]
        crew = _crew(kept, frozen, phase, work)
        if len(crew) == phase.hands:
            work.crew = crew


def _crew(kept: Kept, frozen: Frozen, phase: Uncovered, work: Work) -> list[str]:
    able = [
        cook
        for cook in frozen.day.kitchen.crew
        if any(
            starts <= phase.starts and phase.ends <= ends
            for starts, ends in shifts_of(kept.clock, cook)
        )
        and not any(_is_busy(made, cook.id, work) for made in kept.made.values())
    ]
    able.sort(key=lambda cook: (phase.skill not in cook.skills, cook.id not in work.crew))
    if phase.skill is not None and not any(phase.skill in cook.skills for cook in able):
        return []
    chosen = able[: phase.hands]
    return [cook.id for cook in chosen]


def _is_busy(made: Made, cook: str, work: Work) -> bool:
    """Tell whether somebody is with another phase of a batch at that time."""
    return any(
        cook in other.crew and other.starts < work.ends and work.starts < other.ends
        for other in made.work
        if other is not work
    )
