"""A backup: one whole, checked file, made while everybody goes on working."""

import os
from pathlib import Path

from app.storage import engine
from app.storage.refusals import no_folder


def back_up(target: Path) -> Path:
    """Write the open store to `target`, which is there whole or not at all; return it.

    Raises
    ------
    StoreTrouble
        If it can't be written there, or the copy is not sound. An older backup stays as it is.
    """
    part = target.with_name(target.name + ".part")
    try:
        part.unlink(missing_ok=True)
        engine.copy_into(part)
        _sync(part)
        os.replace(part, target)
        _sync(target.parent)
    except OSError as error:
        raise no_folder(target) from error
    finally:
        _drop(part)
    return target


def _sync(path: Path) -> None:
    """Have the disk hold a file, or a folder's list of names, before going on."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _drop(part: Path) -> None:
    if part.parent.is_dir():
        part.unlink(missing_ok=True)
