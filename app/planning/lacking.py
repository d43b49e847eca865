"""What a plan lacks, need by need, in words."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Lack, Plan

SHORT, UNBACKED = "short", "no backup"


@dataclass(frozen=True)
class Shortage:
    """One need that lacks something: which of the two words stands before it, and what it lacks."""

    kind: str
    words: str


def shortages(day: Day, plan: Plan) -> tuple[Shortage, ...]:
    """Return what a plan lacks, in its order: *Knots, take 1 at 14:00, reveal: 2 baked*.

    Parameters
    ----------
    day, plan
        A plan and its day.
    """
    return tuple(_told(day, plan))


def _told(day: Day, plan: Plan) -> Iterator[Shortage]:
    clock = Clock(day.timezone)
    dates = {run.starts[:10] for run in day.runs}
    date = dates.pop() if len(dates) == 1 else ""
    for lack in plan.unmet:
        starts = clock.hour_seen_from(clock.minute(day.run(lack.run).starts), date)
        kind = SHORT if lack.kind == "copies" else UNBACKED
        yield Shortage(kind, _words(day, lack, starts))


def _words(day: Day, lack: Lack, starts: str) -> str:
    run = day.run(lack.run)
    shown = day.demonstration(run.demonstration)
    stage, beat = shown.stage(lack.stage).called, shown.beat(lack.beat).called
    return f"{shown.title}, {run.called} at {starts}, {beat}: {lack.count} {stage}"
