"""What every crew screen starts from: the published plan, its rows of work, and what was ticked."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from fastapi import Request
from sqlalchemy import Connection

from app.planning.day import Day
from app.planning.minutes import MINUTE_S, Clock
from app.planning.plan import Plan
from app.planning.tasks import Task, tasks
from app.storage.engine import reading
from app.storage.queries.plans import day_planned, published
from app.storage.queries.productions import ProductionRow
from app.storage.queries.productions import production as production_row
from app.storage.queries.safety import house
from app.storage.queries.ticks import last_n, states
from app.storage.states import BatchState, Said, States

KEPT = 64
T = TypeVar("T")
_kept: dict[tuple[int, int, str], tuple[Plan, Any]] = {}


@dataclass(frozen=True)
class Floor:
    """A published plan with the day that it was made from, and the states of its batches."""

    production: ProductionRow
    day: Day
    plan: Plan
    clock: Clock
    rows: list[Task]
    states: States
    n: int
    now_s: float
    in_fahrenheit: bool

    @property
    def now(self) -> int:
        """Return the minute that it is."""
        return int(self.now_s) // MINUTE_S

    @property
    def today(self) -> str:
        """Return the local date that it is."""
        return self.clock.date(self.now)

    def told(self) -> dict[str, Any]:
        """Return what a page needs to paint its rows: see `live.py` for what follows."""
        return snapshot(self.plan.number, self.n, self.states) | {"now": round(self.now_s * 1000)}


def floor(request: Request, id: int) -> Floor | ProductionRow:
    """Return the floor of a production, or only its line of the list before the first plan.

    Raises
    ------
    NotThere
        If there is no such production.
    """
    with reading() as conn:
        row = production_row(conn, id)
        plan = published(conn, id)
        if plan is None:
            return row
        day, ticked, n = day_planned(conn, id, plan.number), states(conn, id), last_n(conn, id)
        in_fahrenheit = house(conn).in_fahrenheit
    return Floor(
        production=row,
        day=day,
        plan=plan,
        clock=Clock(day.timezone),
        rows=rows_of(id, day, plan, in_fahrenheit),
        states=ticked,
        n=n,
        now_s=now_s(request),
        in_fahrenheit=in_fahrenheit,
    )


def now_s(request: Request) -> float:
    """Return the seconds since 1970; a test may set the clock of its app."""
    asked = getattr(request.app.state, "now_s", time.time)
    return float(asked())


def rows_of(id: int, day: Day, plan: Plan, in_fahrenheit: bool) -> list[Task]:
    """Return the rows of a published plan, as the house reads degrees."""
    what = "rows in °F" if in_fahrenheit else "rows"
    return kept(id, plan, what, lambda: tasks(day, plan, in_fahrenheit))


def kept(id: int, plan: Plan, what: str, make: Callable[[], T]) -> T:
    """Return what is read out of a published plan; a plan never changes, so it is read once."""
    key = (id, plan.number, what)
    found = _kept.get(key)
    if found is None or found[0] is not plan:
        while len(_kept) >= KEPT:
            _kept.pop(next(iter(_kept)), None)
        found = _kept[key] = (plan, make())
    made: T = found[1]
    return made


def read_snapshot(conn: Connection, id: int, number: int) -> dict[str, Any]:
    """Return the snapshot of a production's newest plan."""
    return snapshot(number, last_n(conn, id), states(conn, id))


def snapshot(number: int, n: int, ticked: States) -> dict[str, Any]:
    """Return plan number, number of the last event and all that was ticked, ready for JSON."""
    batches = {batch: _state(each) for batch, each in sorted(ticked.batches.items())}
    lost = {copy: each.why for copy, each in sorted(ticked.lost.items())}
    told = {"plan": number, "n": n, "batches": batches, "lost": lost}
    return told | {"unknown": len(ticked.unknown)}


def _state(batch: BatchState) -> dict[str, Any]:
    last = batch.last
    assert last is not None
    return _said(last) | {
        "state": batch.state,
        "started": _said(batch.started) if batch.started else None,
        "lost": list(batch.lost),
    }


def _said(said: Said) -> dict[str, Any]:
    return {"at": said.at[11:16], "by": said.by, "n": said.n}
