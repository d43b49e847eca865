"""What was staged so early that it is too old for what is to take it, as the plan stands."""

from collections.abc import Collection, Iterator, Mapping

from app.planning.day import Day, Need, Stage
from app.planning.minutes import Clock
from app.planning.moments import use_minute
from app.planning.plan import Copy, Plan


def too_early(
    day: Day, plan: Plan, begun: Collection[str], staged: Mapping[str, str]
) -> frozenset[str]:
    """Return the batches that somebody staged earlier than what they made keeps.

    Parameters
    ----------
    day, plan
        A plan and its day.
    begun
        The batches that have taken what goes into them.
    staged
        When batches were staged, as somebody said, by their id; local times.
    """
    clock = Clock(day.timezone)
    at = {
        batch.id: clock.minute(staged[batch.id])
        for batch in plan.batches
        if batch.id in staged and clock.minute(staged[batch.id]) < clock.minute(batch.ends)
    }
    backed = _backed(plan) if at else {}
    taken = {batch.id: clock.minute(batch.starts) for batch in plan.batches}
    return frozenset(
        made
        for copy in plan.copies
        if (made := copy.made_by.batch) in at and made is not None
        for taker, minute, keeps_min in _takers(day, copy, taken, backed.get(copy.id, ()))
        if taker not in begun and minute - at[made] > keeps_min
    )


def _takers(
    day: Day, copy: Copy, taken: Mapping[str, int], backed: Collection[tuple[str, str]]
) -> Iterator[tuple[str, int, int]]:
    """Yield what takes a copy, or what it backs: when, and how old it may be then."""
    stage = day.stage(copy.demonstration, copy.stage)
    for taker in copy.taken_by:
        if taker.batch is not None:
            yield taker.batch, taken[taker.batch], stage.keeps_min
    for run, beat in (*(taker.use for taker in copy.taken_by if taker.use is not None), *backed):
        shown = day.demonstration(day.run(run).demonstration).beat(beat)
        need = next(each for each in shown.needs if each.stage == copy.stage)
        yield f"{run} {beat}", use_minute(day, run, beat), _oldest_min(stage, need)


def _oldest_min(stage: Stage, need: Need) -> int:
    if need.tasting and stage.safety_min is not None:
        return min(stage.keeps_min, stage.safety_min)
    return stage.keeps_min


def _backed(plan: Plan) -> dict[str, list[tuple[str, str]]]:
    found: dict[str, list[tuple[str, str]]] = {}
    for use in plan.uses:
        for copy in use.backups:
            found.setdefault(copy, []).append((use.run, use.beat))
    return found
