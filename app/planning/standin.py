"""Who takes over where the planned crew of a batch that has begun are not there."""

from app.planning.crew import Crew, given_in, is_able
from app.planning.frozen import Frozen
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
    crew, duties = Crew(kept.state.day), list(given_in(kept.made.values()))
    for part in sorted(frozen.uncovered, key=lambda each: (each.starts, each.batch)):
        duty, work = next(each for each in duties if each[0].key == (part.batch, part.phase))
        others = [(each, its) for each, its in duties if its is not work]
        able = [
            cook
            for cook in crew.cooks
            if crew.can(cook.id, duty, [each for each, its in others if cook.id in its.crew])
        ]
        able.sort(key=lambda cook: (not is_able(cook, duty.phase), cook.id not in work.crew))
        chosen = [cook.id for cook in able[: duty.phase.hands]]
        if len(chosen) == duty.phase.hands and crew.are_able(chosen, duty.phase):
            work.crew = chosen
