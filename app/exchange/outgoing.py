"""What goes out of the program, and in which forms; the command and the screens share it."""

from collections.abc import Callable
from datetime import datetime

from app.exchange.calendar import calendar_of
from app.exchange.dayfile import dump_plan
from app.exchange.planned import sheets_of_count, sheets_of_plan, sheets_of_pulls
from app.exchange.separated import dump_separated
from app.exchange.sheets import Sheet, refusal
from app.exchange.spreadsheet import sheets_of
from app.exchange.workbook import dump_workbook
from app.planning.canonical import canonical
from app.planning.day import Day, Demonstration
from app.planning.plan import Plan

FORMS: dict[str, tuple[str, ...]] = {
    "production": ("xlsx", "csv", "json"),
    "demonstration": ("xlsx", "csv", "json"),
    "plan": ("xlsx", "csv", "json"),
    "count": ("xlsx", "csv"),
    "pulls": ("xlsx", "csv"),
    "runs": ("ics",),
}
OF_A_PLAN = ("plan", "count", "pulls")
_OF_PLAN: dict[str, Callable[[Day, Plan], list[Sheet]]] = {
    "plan": sheets_of_plan,
    "count": sheets_of_count,
    "pulls": sheets_of_pulls,
}


def outgoing(what: str, form: str, day: Day, plan: Plan | None, now: datetime) -> bytes:
    """Return the bytes of a file.

    Parameters
    ----------
    what, form
        One of `FORMS`, and one of its forms; a demonstration is handed in as a day of its own.
    day, plan
        The day, and the plan where it goes out.
    now
        When that is, aware of its zone.

    Raises
    ------
    Refused
        If there is no plan, or no run for a calendar, which must hold something (RFC 5545, 3.6),
        or it has no such form, or a text is too long for it.
    """
    if form not in FORMS[what]:
        forms = " or ".join(f".{each}" for each in FORMS[what])
        raise refusal(what, f"there is no .{form} of it; take {forms}")
    if form == "ics":
        if not day.runs:
            raise refusal(what, "there are no runs yet that a calendar could hold")
        return calendar_of(day, now)
    if what not in OF_A_PLAN:
        return canonical(day) if form == "json" else _written(sheets_of(day), form)
    if plan is None:
        raise refusal(what, "there is no plan of this day yet")
    return dump_plan(plan) if form == "json" else _written(_OF_PLAN[what](day, plan), form)


def _written(sheets: list[Sheet], form: str) -> bytes:
    return dump_workbook(sheets) if form == "xlsx" else dump_separated(sheets)


def day_of_one(day: Day, demonstration: str) -> Day:
    """Return a day of one demonstration, with those that it is made from, and no runs.

    Raises
    ------
    KeyError
        If there is no such demonstration.
    """
    shown = with_all_it_takes(day, demonstration)
    ids = {each.id for each in shown}
    stock = tuple(each for each in day.stock if each.demonstration in ids)
    update = {"title": shown[-1].title, "demonstrations": tuple(shown), "runs": (), "stock": stock}
    return day.model_copy(update=update)


def with_all_it_takes(day: Day, demonstration: str) -> list[Demonstration]:
    """Return the demonstrations that one is made from, in the day's order, and that one last."""
    found, waiting = {demonstration}, [day.demonstration(demonstration)]
    while waiting:
        shown = waiting.pop()
        sets = [stage.takes for stage in shown.stages]
        sets += [way.takes or () for stage in shown.stages for way in stage.ways]
        for entry in (entry for each in sets for entry in each):
            home = entry.demonstration
            if home is not None and home not in found:
                found.add(home)
                waiting.append(day.demonstration(home))
    others = [each for each in day.demonstrations if each.id in found and each.id != demonstration]
    return [*others, day.demonstration(demonstration)]
