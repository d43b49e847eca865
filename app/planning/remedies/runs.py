"""Runs that start later."""

from collections.abc import Iterator

from app.planning.blockers.clash import Clash
from app.planning.dates import lasting
from app.planning.remedies.offer import Change, DayFile, Offer
from app.planning.remedies.patch import replaced

LATEST_MIN = 720


def later_runs(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield for each run whose time is in a clash that it starts later: by one minute, two, …"""
    for run in clash.moved_runs:
        yield _later(file, run)


def _later(file: DayFile, run: str) -> Offer:
    told = file.day.run(run)

    def at(minutes: int) -> Change:
        starts = file.later(told.starts, minutes)
        words = f"Start {told.called} at {file.wording.at(starts)}, {lasting(minutes)} later"
        return Change((replaced(f"{file.runs[run]}/starts", starts),), words)

    return Offer(at, LATEST_MIN)
