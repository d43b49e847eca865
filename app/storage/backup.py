"""A backup: one whole, checked file, made while everybody goes on working."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from app.storage import engine
from app.storage.refusals import StoreDamaged


def back_up(target: Path) -> Path:
    """Write the open store to `target`, which is there whole or not at all; return it.

    Raises
    ------
    StoreTrouble
        If it can't be written there, or the copy is not sound. An older backup stays as it is.
    """
    part = target.with_name(target.name + ".part")
    part.unlink(missing_ok=True)
    try:
        with engine.trouble_told(target):
            engine.copy_into(part)
            _check(part)
        _sync(part)
        os.replace(part, target)
        _sync(target.parent)
    finally:
        part.unlink(missing_ok=True)
    return target


def _check(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        found = connection.execute("PRAGMA integrity_check").fetchone()[0]
    if found != "ok":
        raise StoreDamaged(f"The backup is not sound ({found}), so it was not kept. Try again.")


def _sync(path: Path) -> None:
    """Have the disk hold a file, or a folder's list of names, before going on."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
