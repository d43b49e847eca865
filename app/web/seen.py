"""A production as the screens see it: read in one moment, what was parsed before is kept."""

from dataclasses import dataclass
from typing import TypeVar
from weakref import WeakKeyDictionary

from fastapi import Request
from sqlalchemy import Connection

from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.engine import Store, opened, reading
from app.storage.queries import plans, productions, ticks
from app.storage.queries.productions import ProductionRow
from app.storage.queries.safety import house

KEPT = 16
NOBODY = "the producer"
K = TypeVar("K")
V = TypeVar("V")


@dataclass(frozen=True)
class Seen:
    """A production with its day as it stands now, and the published plan with the day it is of.

    `n` is the number of the last change that the day holds.
    """

    production: ProductionRow
    day: Day
    plan: Plan | None
    planned: Day
    is_outdated: bool
    has_begun: bool
    n: int = 0

    @property
    def id(self) -> int:
        """Return the number of the production in addresses."""
        return self.production.id


def see(id: int) -> Seen:
    """Return a production; NotThere if there is none."""
    with reading() as conn:
        row = productions.production(conn, id)
        n = productions.newest_change(conn, id)
        day, mark = _day_now(conn, id)
        plan = plans.published(conn, id)
        planned = plans.day_planned(conn, id) if plan else day
        has_begun = bool(plan and ticks.states(conn, id).under_way(day))
    is_outdated = plan is not None and _mark_planned(id, plan, planned) != mark
    return Seen(row, day, plan, planned, is_outdated, has_begun, n)


def has_changed(seen: Seen) -> bool:
    """Tell whether somebody has changed the production since it was seen."""
    with reading() as conn:
        return productions.newest_change(conn, seen.id) != seen.n


def who(request: Request) -> str:
    """Return who asks: the person that this phone picked; on this machine nobody is asked."""
    return getattr(request.state, "person", "") or NOBODY


class _Kept:
    """What was read of one open store and cannot have changed since."""

    def __init__(self) -> None:
        self.days: dict[int, tuple[int, Day, str]] = {}
        self.marks: dict[tuple[int, int], str] = {}


_kept: WeakKeyDictionary[Store, _Kept] = WeakKeyDictionary()


def _of_store() -> _Kept:
    return _kept.setdefault(opened(), _Kept())


def _day_now(conn: Connection, id: int) -> tuple[Day, str]:
    """Return the day and its fingerprint, read again only after a change."""
    change = productions.newest_mark(conn, id)
    kept = _of_store().days.get(id)
    if kept is None or kept[0] != change:
        day = productions.day(conn, id)
        kept = (change, day, fingerprint(day))
        _keep(_of_store().days, id, kept)
    return kept[1], kept[2]


def _mark_planned(id: int, plan: Plan, planned: Day) -> str:
    marks = _of_store().marks
    if (id, plan.number) not in marks:
        _keep(marks, (id, plan.number), fingerprint(planned))
    return marks[id, plan.number]


def _keep(kept: dict[K, V], key: K, value: V) -> None:
    kept[key] = value
    while len(kept) > KEPT:
        kept.pop(next(iter(kept)))


def in_fahrenheit() -> bool:
    """Tell whether the house reads degrees Fahrenheit."""
    with reading() as conn:
        return house(conn).in_fahrenheit
