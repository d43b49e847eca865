"""Who works in the kitchens of the store."""

from sqlalchemy import Connection, func, select

from app.storage.tables.kitchens import COOKS


def crew_names(conn: Connection) -> list[str]:
    """Return the names of everybody's crew, each once, in order."""
    name = func.coalesce(COOKS.c.name, COOKS.c.key).label("called")
    return [str(row.called) for row in conn.execute(select(name).distinct().order_by(name))]
