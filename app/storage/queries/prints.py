"""What was printed of a production."""

from typing import NamedTuple

from sqlalchemy import Connection, select

from app.storage.tables.prints import PRINTS

MOST_TOLD = 60


class PrintRow(NamedTuple):
    """A print; `since` is the plan that a print of changes alone goes back to."""

    id: int
    plan: int
    paper: str
    size: str
    since: int | None
    sheets: int
    marks: list[str]
    printed_at: str
    printed_by: str


_OF = PRINTS.c
_READ = (
    _OF.id,
    _OF.plan,
    _OF.paper,
    _OF.size,
    _OF.since,
    _OF.sheets,
    _OF.marks,
    _OF.printed_at,
    _OF.printed_by,
)


def prints(connection: Connection, production: int) -> list[PrintRow]:
    """Return the newest prints of a production, the newest first."""
    query = select(*_READ).where(_OF.production_id == production)
    query = query.order_by(_OF.id.desc()).limit(MOST_TOLD)
    return [PrintRow(*row) for row in connection.execute(query)]


def print_before(
    connection: Connection, production: int, paper: str, size: str | None, plan: int
) -> PrintRow | None:
    """Return the newest print of a paper, in a size or any, of an older plan than `plan`."""
    query = select(*_READ).where(
        _OF.production_id == production, _OF.paper == paper, _OF.plan < plan
    )
    if size is not None:
        query = query.where(_OF.size == size)
    row = connection.execute(query.order_by(_OF.plan.desc(), _OF.id.desc()).limit(1)).first()
    return PrintRow(*row) if row else None
