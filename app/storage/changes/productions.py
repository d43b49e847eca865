"""Productions come from a day, are copied, are removed and brought back."""

from datetime import date

from sqlalchemy import Connection, select, update

from app.planning.dates import short_date
from app.planning.day import Day
from app.planning.minutes import NoSuchTime
from app.planning.other_dates import days_later
from app.storage.changes.record import Change, Places, record, repeated
from app.storage.clock import now
from app.storage.refusals import NotThere, Refusal
from app.storage.tables.kitchens import KITCHENS
from app.storage.tables.productions import PRODUCTIONS
from app.storage.translate import day_of, store_day
from app.storage.translate.days import production_row

ADDED, COPIED = "production added", "production copied"
REMOVED, BROUGHT_BACK = "production removed", "production brought back"
PRESENT: Places = {"production": {"removed": False}}
GONE: Places = {"production": {"removed": True}}


def add_production(connection: Connection, day: Day, *, by: str, once: str) -> int:
    """Store a day as a new production and return its id; nothing is stored if anything fails."""
    if first := repeated(connection, once, ADDED):
        return first.production
    production = store_day(connection, day)
    words = f"{by} added “{day.title}”."
    added: Places = {"production": {"title": day.title}}
    record(connection, production, ADDED, words, {"production": None}, added, by=by, once=once)
    return production


def begin_production(
    connection: Connection, day: Day, kitchen: int | None, *, by: str, once: str
) -> int:
    """Store an empty production and return its id; `kitchen` is one that is kept already.

    Raises
    ------
    NotThere
        If there is no such kitchen.
    """
    if first := repeated(connection, once, ADDED):
        return first.production
    if kitchen is not None:
        query = select(KITCHENS.c.id).where(KITCHENS.c.id == kitchen)
        if connection.execute(query).first() is None:
            raise NotThere("That kitchen is not there any more. Choose another one.")
    production = store_day(connection, day, kitchen)
    words = f"{by} began “{day.title}”."
    added: Places = {"production": {"title": day.title}}
    record(connection, production, ADDED, words, {"production": None}, added, by=by, once=once)
    return production


def copy_production(
    connection: Connection,
    production: int,
    title: str | None = None,
    prep_on: str | None = None,
    *,
    by: str,
    once: str,
) -> int:
    """Copy a production, its kitchen shared, and return the copy's id. Plans are not copied.

    With `prep_on`, a date, its prep starts there, and all else is as many days later.

    Raises
    ------
    Refusal
        If the clocks change so that an hour does not exist on its new date, or exists twice.
    """
    if first := repeated(connection, once, COPIED):
        return first.production
    day = day_of(connection, production)
    kitchen = production_row(connection, production)["kitchen_id"]
    title = title or f"{day.title} (copy)"
    later = _from(day, prep_on or day.prep_from)
    copy = store_day(connection, later.model_copy(update={"title": title}), kitchen)
    words = f"{by} copied “{day.title}” as “{title}”"
    words += "." if later == day else f", its prep from {short_date(later.prep_from)} on."
    made: Places = {"production": {"title": title, "from": production}}
    record(connection, copy, COPIED, words, {"production": None}, made, by=by, once=once)
    return copy


def _from(day: Day, prep_on: str) -> Day:
    days = date.fromisoformat(prep_on[:10]) - date.fromisoformat(day.prep_from[:10])
    try:
        return days_later(day, days.days)
    except NoSuchTime as why:
        raise Refusal(
            f"{short_date(str(why))}, {str(why)[11:16]} does not exist, or exists twice, because "
            "the clocks change. Nothing was copied; choose another date, and move the run there."
        ) from why


def remove_production(connection: Connection, production: int, *, by: str, once: str) -> Change:
    """Take a production out of the list. Nothing is erased: `bring_back_production` undoes it."""
    if first := repeated(connection, once, REMOVED):
        return first
    title = production_row(connection, production)["title"]
    _set_removed(connection, production, now())
    words = f"{by} removed “{title}”."
    return record(connection, production, REMOVED, words, PRESENT, GONE, by=by, once=once)


def bring_back_production(connection: Connection, production: int, *, by: str, once: str) -> Change:
    """Undo the removal of a production."""
    if first := repeated(connection, once, BROUGHT_BACK):
        return first
    query = select(PRODUCTIONS.c.title, PRODUCTIONS.c.removed_at)
    row = connection.execute(query.where(PRODUCTIONS.c.id == production)).first()
    if row is None:
        raise NotThere("There is no such production here. The list of productions shows all.")
    if row.removed_at is None:
        raise Refusal(f"“{row.title}” is in the list already. Nothing was changed.")
    _set_removed(connection, production, None)
    words = f"{by} brought “{row.title}” back."
    return record(connection, production, BROUGHT_BACK, words, GONE, PRESENT, by=by, once=once)


def _set_removed(connection: Connection, production: int, at: str | None) -> None:
    query = update(PRODUCTIONS).where(PRODUCTIONS.c.id == production)
    connection.execute(query.values(removed_at=at))
