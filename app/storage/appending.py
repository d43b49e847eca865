"""What one commit of the event log stores: keys looked up, ticks checked, numbers given."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any, NamedTuple

from sqlalchemy import (
    BindParameter,
    Column,
    Connection,
    ScalarSelect,
    Table,
    bindparam,
    func,
    insert,
    select,
    union_all,
)

from app.storage.checking import refuse_impossible
from app.storage.clock import now
from app.storage.queries.plans import day_planned, published, root_number
from app.storage.queries.ticks import of_plan
from app.storage.refusals import Refusal
from app.storage.states import Folding
from app.storage.tables.events import ECHOES, EVENTS
from app.storage.tables.plans import PLANS
from app.storage.tables.productions import PRODUCTIONS
from app.storage.ticks import (
    AnyTick,
    Expected,
    Lost,
    Measured,
    OfTheDay,
    Staged,
    Started,
    TickRefused,
    Undone,
)

_PRODUCTION: BindParameter[int] = bindparam("production")


def _newest(number: Column[int]) -> ScalarSelect[Any]:
    of = number.table.c.production_id
    return select(func.max(number)).where(of == _PRODUCTION).scalar_subquery()


_WANTED: BindParameter[list[str]] = bindparam("wanted", expanding=True)
_MARK = select(
    func.coalesce(_newest(EVENTS.c.n), 0),
    func.coalesce(_newest(PLANS.c.number), 0),
    PRODUCTIONS.c.title,
).where(PRODUCTIONS.c.id == _PRODUCTION, PRODUCTIONS.c.removed_at.is_(None))
_KNOWN = union_all(
    *(
        select(table.c.once, table.c.n).where(
            table.c.production_id == _PRODUCTION, table.c.once.in_(_WANTED)
        )
        for table in (EVENTS, ECHOES)
    )
)
Asked = tuple[int, tuple[AnyTick, ...], bool]


class Appended(NamedTuple):
    """The answer to one request: a number or a refusal a tick, and the events that are new."""

    production: int
    outcomes: list[int | Refusal]
    new: list[AnyTick]


class Mark(NamedTuple):
    """How far a log is: its last number, the plan that holds, and the production's title."""

    n: int
    plan: int
    title: str


class Log:
    """The log of one production in memory, as far as a new tick must be checked against it."""

    def __init__(self, connection: Connection, production: int, mark: Mark) -> None:
        self.n, self.plan, self.title = mark
        self.root = root_number(connection, production)
        self.document = plan = published(connection, production)
        self.day = day_planned(connection, production, self.root) if plan else None
        self.made = {batch.id: set(batch.copies) for batch in plan.batches} if plan else {}
        self.copies = (
            {copy.id for copy in plan.copies}.union(*self.made.values()) if plan else set()
        )
        self.folding = Folding(of_plan(connection, production))

    @property
    def mark(self) -> Mark:
        """Return how far it is; the store's is another one if somebody else has written."""
        return Mark(self.n, self.plan, self.title)

    def add(self, tick: AnyTick) -> AnyTick:
        """Give a tick the next number and take it in."""
        self.n += 1
        numbered = tick.model_copy(update={"n": self.n, "plan": self.plan})
        self.folding.add(numbered)
        return numbered

    def take_out(self, count: int) -> None:
        """Forget the last `count` ticks."""
        self.n -= count
        self.folding.cut(len(self.folding.ticks) - count)

    def refuse(self, tick: AnyTick) -> None:
        """Raise TickRefused if a tick cannot be in this log."""
        if not self.plan:
            raise TickRefused(f"“{self.title}” has no published plan, so nothing can be ticked.")
        if tick.plan is not None and not self.root <= tick.plan <= self.plan:
            raise TickRefused(
                f"This row is of plan {tick.plan}; plan {self.plan} holds now. "
                "The tick was not stored: find the row on the new board and tick it there."
            )
        if isinstance(tick, Started | Staged | Expected) and tick.batch not in self.made:
            raise TickRefused(f"Plan {self.plan} has no batch “{tick.batch}”.")
        if isinstance(tick, Staged) and (others := set(tick.lost) - self.made[tick.batch]):
            raise TickRefused(
                f"Batch “{tick.batch}” does not make {', '.join(sorted(others))}, "
                "so it cannot lose that here."
            )
        if isinstance(tick, Lost | Measured) and tick.copy_id not in self.copies:
            raise TickRefused(f"Plan {self.plan} has no copy “{tick.copy_id}”.")
        if isinstance(tick, Undone) and not self._has(tick.undoes):
            raise TickRefused(f"Plan {self.plan} has no such tick to take back.")
        if isinstance(tick, Expected):
            self._refuse_unbegun(tick.batch)
        if self.document and self.day and self._is_of_the_day(tick):
            refuse_impossible(self.day, self.document, self.folding.ticks, tick)

    def _refuse_unbegun(self, batch: str) -> None:
        if batch in self.folding.staged:
            raise TickRefused(f"Batch “{batch}” is staged already, so it takes no longer.")
        if batch not in self.folding.started:
            raise TickRefused(f"Nobody has started batch “{batch}”. Tick that first.")

    def _is_of_the_day(self, tick: AnyTick) -> bool:
        if isinstance(tick, Undone):
            undone = next((each for each in self.folding.ticks if each.n == tick.undoes), None)
            return isinstance(undone, OfTheDay | Undone)
        return isinstance(tick, OfTheDay)

    def _has(self, n: int | None) -> bool:
        return any(each.n == n for each in reversed(self.folding.ticks))


class Group:
    """The requests that one commit stores."""

    def __init__(self, connection: Connection, logs: dict[int, Log], asked: Sequence[Asked]):
        self.logs = logs
        self.known = _known(connection, asked)
        self.rows: dict[Table, list[dict[str, Any]]] = {EVENTS: [], ECHOES: []}

    def append(self, production: int, ticks: Sequence[AnyTick], is_whole: bool) -> Appended:
        """Take in the ticks of one request; of a whole one all or none."""
        marks = {table: len(rows) for table, rows in self.rows.items()}
        done = Appended(production, [], [])
        for tick in ticks:
            done.outcomes.append(self._one(production, tick, done.new))
            if is_whole and isinstance(done.outcomes[-1], Refusal):
                self._take_back(production, marks, done.new)
                return Appended(production, [done.outcomes[-1]], [])
        return done

    def _one(self, production: int, tick: AnyTick, new: list[AnyTick]) -> int | Refusal:
        if known := self.known.get((production, tick.once)):
            return known
        log = self.logs.get(production)
        if log is None:
            return TickRefused("There is no such production here, so nothing can be ticked.")
        tick = self._resolved(production, tick)
        try:
            log.refuse(tick)
        except TickRefused as refused:
            return refused
        n = log.folding.said_before(tick)
        if n is None:
            stored = log.add(tick)
            new.append(stored)
            n = log.n
            self.rows[EVENTS].append(_event_row(production, stored, log.plan))
        else:
            self.rows[ECHOES].append({"production_id": production, "once": tick.once, "n": n})
        self.known[production, tick.once] = n
        return n

    def _resolved(self, production: int, tick: AnyTick) -> AnyTick:
        """Return an undo with the number of the event whose key it names."""
        if isinstance(tick, Undone) and tick.undoes is None and tick.undoes_once is not None:
            n = self.known.get((production, tick.undoes_once))
            return tick.model_copy(update={"undoes": n})
        return tick

    def _take_back(self, production: int, marks: dict[Table, int], new: list[AnyTick]) -> None:
        for table, mark in marks.items():
            for row in self.rows[table][mark:]:
                del self.known[production, row["once"]]
            del self.rows[table][mark:]
        if new:
            self.logs[production].take_out(len(new))


class Appender:
    """Appends groups; keeps the logs that it has read as long as nobody else writes them."""

    def __init__(self) -> None:
        self.logs: dict[int, Log] = {}

    def forget(self) -> None:
        """Forget everything: what was taken in was not stored."""
        self.logs.clear()

    def append(self, connection: Connection, asked: Sequence[Asked]) -> list[Appended]:
        """Store what is asked with a few statements, in the order in which it was asked."""
        for production in {each[0] for each in asked}:
            self._renew(connection, production)
        group = Group(connection, self.logs, asked)
        done = [group.append(*each) for each in asked]
        for table, values in group.rows.items():
            if values:
                connection.execute(insert(table), values)
        return done

    def _renew(self, connection: Connection, production: int) -> None:
        log, mark = self.logs.pop(production, None), _mark(connection, production)
        if mark is not None:
            is_current = log is not None and log.mark == mark
            self.logs[production] = (is_current and log) or Log(connection, production, mark)


def _mark(connection: Connection, production: int) -> Mark | None:
    """Return how far the log of a production is in the store; None if it was removed."""
    row = connection.execute(_MARK, {"production": production}).first()
    return Mark(*row) if row else None


def _known(connection: Connection, asked: Sequence[Asked]) -> dict[tuple[int, str], int]:
    """Return the numbers of the keys that were stored before."""
    keys: dict[int, set[str]] = defaultdict(set)
    for production, ticks, _ in asked:
        for tick in ticks:
            keys[production].add(tick.once)
            if isinstance(tick, Undone) and tick.undoes_once:
                keys[production].add(tick.undoes_once)
    known: dict[tuple[int, str], int] = {}
    for production, wanted in keys.items():
        rows = connection.execute(_KNOWN, {"production": production, "wanted": sorted(wanted)})
        known |= {(production, once): n for once, n in rows}
    return known


def _event_row(production: int, tick: AnyTick, plan: int) -> dict[str, Any]:
    return {
        "production_id": production,
        "n": tick.n,
        "plan_number": plan,
        "at": tick.at,
        "once": tick.once,
        "by": tick.by,
        "event": tick.event,
        "says": tick.says(),
        "stored_at": now(),
    }
