"""One process a store."""

import fcntl
from pathlib import Path
from typing import IO

from app.storage import refusals


def hold(path: Path) -> IO[bytes]:
    """Keep every other process from opening the store until the returned file is closed.

    Two servers over one store would not hear of each other's ticks, and SQLite up to 3.51.2 may
    lose commits when two processes tidy its log. The system lets go when we die.

    Raises
    ------
    StoreTrouble
        If another process holds it, or its folder can't be written.
    """
    try:
        held = path.with_name(path.name + ".lock").open("ab")
    except OSError as error:
        raise refusals.no_folder(path) from error
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        held.close()
        raise refusals.StoreLocked(
            f"Another server of this program has {path} open. Nothing was changed; "
            "use that one, or end it and start again."
        ) from error
    return held
