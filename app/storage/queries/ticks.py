"""What the event log holds, and the states that it leads to."""

from typing import Any

from sqlalchemy import Connection, func, select

from app.storage.queries.plans import root_number, told_to
from app.storage.states import States, fold
from app.storage.tables.events import EVENTS
from app.storage.ticks import AnyTick, tick_of

_OF = EVENTS.c
_READ = (_OF.n, _OF.at, _OF.once, _OF.by, _OF.event, _OF.says)


def since(connection: Connection, production: int, n: int = 0) -> list[AnyTick]:
    """Return the events of a production after number `n`, in order."""
    query = select(*_READ).where(_OF.production_id == production, _OF.n > n).order_by(_OF.n)
    return [_tick(row) for row in connection.execute(query)]


def states(connection: Connection, production: int) -> States:
    """Return the state of each batch of the published plan, and the copies that are lost."""
    return fold(of_plan(connection, production), told_to(connection, production))


def of_plan(connection: Connection, production: int) -> list[AnyTick]:
    """Return the events of the published plan, and of those that it mends, in order."""
    root = root_number(connection, production)
    query = select(*_READ).where(_OF.production_id == production, _OF.plan_number >= root)
    return [_tick(row) for row in connection.execute(query.order_by(_OF.n))]


def last_n(connection: Connection, production: int) -> int:
    """Return the number of the last event of a production, 0 if there is none."""
    query = select(func.max(_OF.n)).where(_OF.production_id == production)
    return connection.execute(query).scalar() or 0


def _tick(row: Any) -> AnyTick:
    named = {"n": row.n, "at": row.at, "once": row.once, "by": row.by, "event": row.event}
    return tick_of(named | row.says)
