"""Prints are remembered with the number of their plan."""

from collections.abc import Sequence

from sqlalchemy import Connection, insert

from app.storage.clock import now
from app.storage.tables.prints import PRINTS


def remember_print(
    connection: Connection,
    production: int,
    paper: str,
    size: str,
    plan: int,
    marks: Sequence[str],
    *,
    sheets: int,
    since: int | None,
    by: str,
) -> None:
    """Remember that a paper was printed; `marks` tells each of its pages from others."""
    row = {
        "production_id": production,
        "plan": plan,
        "paper": paper,
        "size": size,
        "since": since,
        "sheets": sheets,
        "marks": list(marks),
        "printed_at": now(),
        "printed_by": by,
    }
    connection.execute(insert(PRINTS), row)
