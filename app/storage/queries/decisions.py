"""What was decided by name."""

from typing import Any, NamedTuple

from sqlalchemy import Connection, exists, func, select

from app.storage.tables.decisions import DECISIONS
from app.storage.tables.events import EVENTS
from app.storage.tables.runs import RUNS

_OF = DECISIONS.c
_READ = (_OF.key, _OF.words, _OF.decided, _OF.by, _OF.at)


class DecisionRow(NamedTuple):
    """One decision: on what, what, by whom, when (UTC)."""

    key: str
    words: str
    decided: str
    by: str
    at: str


def decisions(connection: Connection, production: int) -> list[DecisionRow]:
    """Return what was decided in a production, in order."""
    query = select(*_READ).where(_OF.production_id == production).order_by(_OF.id)
    return [DecisionRow(*row) for row in connection.execute(query)]


def avoids(connection: Connection, production: int) -> bool:
    """Return whether anybody of the runs of a production avoids anything."""
    people = connection.execute(
        select(RUNS.c.people).where(RUNS.c.production_id == production)
    ).scalars()
    return any(_avoids(some) for some in people)


def _avoids(people: list[dict[str, Any]] | None) -> bool:
    return any(person.get("avoids") for person in people or ())


def may_warn(connection: Connection, production: int) -> bool:
    """Return whether a warning may stand: somebody avoids something, or food was measured."""
    measured = exists().where(EVENTS.c.production_id == production, EVENTS.c.event == "measured")
    rows = connection.execute(
        select(RUNS.c.people, measured).where(RUNS.c.production_id == production)
    )
    return any(is_measured or _avoids(people) for people, is_measured in rows)


def newest_decision(connection: Connection, production: int) -> str:
    """Return a mark that is another one after each decision, and after each taken back."""
    query = select(func.count(), func.max(_OF.at)).where(_OF.production_id == production)
    count, newest = connection.execute(query).one()
    return f"{count}/{newest or ''}"


def decision_on(connection: Connection, production: int, key: str) -> DecisionRow | None:
    """Return the decision on one warning, if there is one."""
    query = select(*_READ).where(_OF.production_id == production, _OF.key == key)
    row = connection.execute(query).first()
    return None if row is None else DecisionRow(*row)
