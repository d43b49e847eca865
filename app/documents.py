"""The files that a command is given, read: what is refused is a line each, and ends it."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from app.arguments import FAILED, REFUSED, Ended
from app.files import read

if TYPE_CHECKING:
    from app.planning.day import Day
    from app.planning.events import AnyEvent
    from app.planning.plan import Plan

T = TypeVar("T")


def loaded(load: Callable[[bytes], T], path: Path) -> T:
    """Return what a file holds.

    Raises
    ------
    Ended
        If it is refused: a line for each fault.
    """
    from app.planning.reading import Refused

    try:
        return load(read(path))
    except Refused as refused:
        more = [f"and {refused.more} more."] if refused.more else []
        raise Ended(REFUSED, *map(str, refused.faults), *more) from refused


def day_and_plan(day_file: Path, plan_file: Path) -> "tuple[Day, Plan]":
    """Return a day and its plan; Ended if either is refused, or they do not go together."""
    from app.exchange.dayfile import load_day, load_plan
    from app.planning.canonical import fingerprint

    day, plan = loaded(load_day, day_file), loaded(load_plan, plan_file)
    if plan.day is not None and plan.day != fingerprint(day):
        raise Ended(REFUSED, f"day: {plan_file} is the plan of another day than {day_file}.")
    return day, plan


def events_of(
    path: Path | None, day: "Day", plan: "Plan", now: str | None
) -> "tuple[tuple[AnyEvent, ...], str | None]":
    """Return the events of a file, none without one, and the time now in its one form.

    Raises
    ------
    Ended
        If an event or the time is refused.
    """
    from app.exchange.eventfile import load_events
    from app.planning.minutes import Clock
    from app.planning.refusals.sketch import Reading
    from app.planning.refusals.times import Time

    reading = Reading(Clock(day.timezone))
    time = None if now is None else Time().read(now, ("now",), reading)
    if not isinstance(time, str | None):
        raise Ended(FAILED, *(f"--now: {found.told().words}." for found in reading.found))
    if path is None:
        return (), time
    return loaded(lambda data: load_events(data, day, plan, time), path), time
