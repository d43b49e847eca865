"""A day on other dates: everything so many days later, at the same hours."""

from collections.abc import Callable
from datetime import date, timedelta

from app.planning.day import Day, Kitchen, Span
from app.planning.minutes import Clock


def days_later(day: Day, days: int) -> Day:
    """Return a day with its runs, shifts, closed spans and stock so many days later.

    Parameters
    ----------
    day
        A day, whole or not.
    days
        How many days; fewer than 0 are earlier.

    Raises
    ------
    NoSuchTime
        If an hour does not exist on its new date, or exists twice.
    """
    if days == 0:
        return day
    clock = Clock(day.timezone)

    def on(local: str) -> str:
        there = date.fromisoformat(local[:10]) + timedelta(days=days)
        return clock.text(clock.minute(f"{there.isoformat()}{local[10:16]}"))

    return day.model_copy(
        update={
            "prep_from": on(day.prep_from),
            "kitchen": _kitchen(day.kitchen, on),
            "stock": tuple(
                each.model_copy(update={"staged": on(each.staged)}) for each in day.stock
            ),
            "runs": tuple(each.model_copy(update={"starts": on(each.starts)}) for each in day.runs),
        }
    )


def _kitchen(kitchen: Kitchen, on: Callable[[str], str]) -> Kitchen:
    def spans(some: tuple[Span, ...]) -> tuple[Span, ...]:
        return tuple((on(starts), on(ends)) for starts, ends in some)

    equipment = [
        item.model_copy(update={"closed": spans(item.closed)}) for item in kitchen.equipment
    ]
    crew = [cook.model_copy(update={"shifts": spans(cook.shifts)}) for cook in kitchen.crew]
    return kitchen.model_copy(update={"equipment": tuple(equipment), "crew": tuple(crew)})
