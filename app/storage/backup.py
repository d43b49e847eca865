"""A backup: one whole, checked file, made while everybody goes on working."""

import os
from pathlib import Path

from app.storage import engine
from app.storage.photographs import pack_photographs
from app.storage.refusals import NoStore, no_folder

BESIDE = ("", "-wal", "-shm", ".lock")


def back_up(store: Path, target: Path) -> Path:
    """Write the store at `store` to `target`, which is there whole or not at all; return it.

    Raises
    ------
    StoreTrouble
        If there is no store, the copy can't be written there, or it is not sound. An older backup
        stays as it is.
    """
    if not store.is_file():
        raise NoStore(f"There is no store {store} yet, so there is nothing to copy.")
    if _is_no_place(store, target):
        raise no_folder(target)
    part = target.with_name(target.name + ".part")
    try:
        part.unlink(missing_ok=True)
        engine.copy_into(store, part)
        pack_photographs(store, part)
        _sync(part)
        os.replace(part, target)
        _sync(target.parent)
    except OSError as error:
        raise no_folder(target) from error
    finally:
        _drop(part)
    return target


def _is_no_place(store: Path, target: Path) -> bool:
    """Tell whether a copy there would destroy something: the store's own files, a device."""
    own = {store.with_name(store.name + end).resolve() for end in BESIDE}
    return target.resolve() in own or (target.exists() and not target.is_file())


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
