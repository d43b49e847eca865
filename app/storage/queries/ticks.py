"""What the event log holds, and the states that it leads to."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import Connection, Engine, Row, func, select

from app.planning.aged import too_early
from app.storage.engine import is_reader
from app.storage.queries.plans import day_planned, published, root_number, told_to
from app.storage.states import States, TooEarly, fold
from app.storage.tables.events import EVENTS
from app.storage.ticks import AnyTick, tick_of

KEPT = 16
_OF = EVENTS.c
_READ = (_OF.n, _OF.at, _OF.once, _OF.by, _OF.event, _OF.says)


@dataclass(frozen=True)
class _Read:
    """The log of one production as it was read last, of its plan `root` and what mends it."""

    root: int
    ticks: tuple[AnyTick, ...] = ()
    told: int = 0
    states: States | None = None


_kept: WeakKeyDictionary[Engine, dict[int, _Read]] = WeakKeyDictionary()


def since(connection: Connection, production: int, n: int = 0) -> list[AnyTick]:
    """Return the events of a production after number `n`, in order."""
    query = select(*_READ).where(_OF.production_id == production, _OF.n > n).order_by(_OF.n)
    return [_tick(row) for row in connection.execute(query)]


def states(connection: Connection, production: int) -> States:
    """Return the state of each batch of the published plan, and the copies that are lost."""
    read, told = _read(connection, production), told_to(connection, production)
    if read.states is None or read.told != told:
        states_now = fold(read.ticks, told, _by_the_plan(connection, production))
        read = replace(read, told=told, states=states_now)
        _keep(connection, production, read)
    assert read.states is not None
    return read.states


def _by_the_plan(connection: Connection, production: int) -> TooEarly:
    """Return what finds batches staged too early for the published plan, which it then reads."""

    def found(begun: Collection[str], staged: Mapping[str, str]) -> Collection[str]:
        plan = published(connection, production)
        return too_early(day_planned(connection, production), plan, begun, staged) if plan else ()

    return found


def of_plan(connection: Connection, production: int) -> list[AnyTick]:
    """Return the events of the published plan, and of those that it mends, in order."""
    return list(_read(connection, production).ticks)


def _read(connection: Connection, production: int) -> _Read:
    """Return the log; what was read before is not read again, for every page asks for it."""
    root = root_number(connection, production)
    kept = _kept.get(connection.engine, {}).get(production)
    last = kept.ticks[-1] if kept and kept.root == root and kept.ticks else None
    rows = _rows(connection, production, root, (last.n or 0) if last else 0)
    if kept and last and rows and (rows[0].n, rows[0].once) == (last.n, last.once):
        new = rows[1:]
        read = _Read(root, kept.ticks + tuple(map(_tick, new))) if new else kept
    else:
        # An older moment than what was kept, or another log: it is read from its start.
        read = _Read(root, tuple(map(_tick, _rows(connection, production, root) if last else rows)))
    _keep(connection, production, read)
    return read


def _rows(
    connection: Connection, production: int, root: int, n: int = 0
) -> Sequence[Row[*tuple[Any, ...]]]:
    query = select(*_READ).where(
        _OF.production_id == production, _OF.plan_number >= root, _OF.n >= n
    )
    return connection.execute(query.order_by(_OF.n)).all()


def _keep(connection: Connection, production: int, read: _Read) -> None:
    """Keep what a reader read; what a writer reads may not be stored in the end."""
    if is_reader(connection):
        kept = _kept.setdefault(connection.engine, {})
        kept[production] = read
        while len(kept) > KEPT:
            kept.pop(next(iter(kept)), None)


def last_n(connection: Connection, production: int) -> int:
    """Return the number of the last event of a production, 0 if there is none."""
    query = select(func.max(_OF.n)).where(_OF.production_id == production)
    return connection.execute(query).scalar() or 0


def _tick(row: Any) -> AnyTick:
    named = {"n": row.n, "at": row.at, "once": row.once, "by": row.by, "event": row.event}
    return tick_of(named | row.says)
