"""What was decided by name."""

from typing import NamedTuple

from sqlalchemy import Connection, func, select

from app.storage.tables.decisions import DECISIONS
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
    return any(person.get("avoids") for some in people for person in some or ())


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
