"""How many statements a reading sends."""

from collections.abc import Callable

from sqlalchemy import Connection, event

from app.storage.engine import reading


def queries_of(read: Callable[[Connection], object]) -> int:
    """Return the number of statements that `read` sends to the store."""
    sent: list[str] = []
    with reading() as connection:

        def count(_connection: object, _cursor: object, statement: str, *_more: object) -> None:
            sent.append(statement)

        event.listen(connection, "before_cursor_execute", count)
        read(connection)
    return len(sent)
