"""Which photographs the stages of a production have now, whatever its plan was made of."""

from sqlalchemy import Connection, select

from app.storage.photographs import photograph
from app.storage.tables.demonstrations import DEMONSTRATIONS
from app.storage.tables.stages import STAGES


def photographs_now(connection: Connection, production: int) -> dict[tuple[str, str], str]:
    """Return the name of each photograph that is here, by the ids of demonstration and stage."""
    query = (
        select(DEMONSTRATIONS.c.key, STAGES.c.key, STAGES.c.photo)
        .join(STAGES, STAGES.c.demonstration_id == DEMONSTRATIONS.c.id)
        .where(DEMONSTRATIONS.c.production_id == production, STAGES.c.photo != "")
    )
    return {
        (demonstration, stage): name
        for demonstration, stage, name in connection.execute(query)
        if photograph(name)
    }
