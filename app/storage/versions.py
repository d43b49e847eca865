"""The versions of the store, a numbered migration each, in one line."""

import re
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, inspect, text

from app.storage.refusals import StoreDamaged, StoreTooNew

if TYPE_CHECKING:
    from alembic.config import Config

MIGRATIONS = Path(__file__).resolve().parents[2] / "migrations"
_NUMBERED = re.compile(r"(\d{4})_\w+\.py")


def newest() -> str:
    """Return the newest version that this program knows."""
    names = (_NUMBERED.fullmatch(each.name) for each in (MIGRATIONS / "versions").iterdir())
    return max(name[1] for name in names if name)


def version_of(connection: Connection) -> str | None:
    """Return the version of a store; None for an empty file."""
    tables = inspect(connection).get_table_names()
    if "alembic_version" in tables:
        return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar())
    if tables:
        raise StoreDamaged(
            "This file holds something else than a store of this program. Nothing was changed; "
            "choose another file."
        )
    return None


def upgrade(connection: Connection, path: Path) -> bool:
    """Bring a store to the newest version, and return whether there was anything to do."""
    found, wanted = version_of(connection), newest()
    if found == wanted:
        return False
    if found is not None and found > wanted:
        raise StoreTooNew(
            f"{path} was written by a newer version of the program ({found}; this one knows "
            f"{wanted}). Nothing was changed; start the newer version, or choose another file."
        )
    # Only an old store needs it, and it takes half a second to come in.
    from alembic import command

    command.upgrade(config(connection), "head")
    return True


def config(connection: Connection) -> "Config":
    """Return how Alembic finds the migrations and the connection to run them on."""
    from alembic.config import Config

    made = Config()
    made.set_main_option("script_location", str(MIGRATIONS))
    made.attributes["connection"] = connection
    return made
