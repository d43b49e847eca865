"""Photographs lie in a folder beside the store, each under the name that its bytes give it.

None is ever written over or deleted: a plan or an undone change may still show it. A backup of the
store holds them too, in a table of its own, and puts them back where it is opened.
"""

import os
import re
import sqlite3
import tempfile
from contextlib import closing
from hashlib import sha256
from pathlib import Path

from sqlalchemy import text

from app.storage.engine import opened, reading, trouble_told, writing
from app.storage.refusals import Refusal, no_folder

FOLDER = "photographs"
PACKED = "packed_photographs"
NAME = re.compile(r"[0-9a-f]{24}\.jpg")
_MAKE = f"CREATE TABLE IF NOT EXISTS {PACKED} (name TEXT PRIMARY KEY, bytes BLOB NOT NULL)"


def keep_photograph(data: bytes) -> str:
    """Keep a cleaned photograph, safely on the disk, and return its name.

    Raises
    ------
    StoreTrouble
        If it can't be written.
    """
    name = _name(data)
    _write(_folder(opened().path), name, data)
    return name


def photograph(name: str) -> Path | None:
    """Return the file of a photograph, None if it is not here."""
    file = _folder(opened().path) / name
    return file if NAME.fullmatch(name) and file.is_file() else None


def photograph_bytes(name: str) -> bytes:
    """Return the bytes of a photograph.

    Raises
    ------
    Refusal
        If it is not here.
    """
    file = photograph(name)
    if file is None:
        raise Refusal(f"The photograph {name[:60]} is not here.")
    return file.read_bytes()


def pack_photographs(store: Path, copy: Path) -> None:
    """Put the photographs beside a store into a copy of it."""
    files = sorted(_folder(store).glob("*.jpg")) if _folder(store).is_dir() else []
    with trouble_told(copy), closing(sqlite3.connect(copy)) as connection, connection:
        connection.execute(_MAKE)
        for file in files:
            if NAME.fullmatch(file.name):
                row = (file.name, file.read_bytes())
                connection.execute(f"INSERT OR IGNORE INTO {PACKED} VALUES (?, ?)", row)


def unpack_photographs() -> None:
    """Lay the photographs of an opened backup beside it, then take them out of it.

    Raises
    ------
    StoreTrouble
        If they can't be written; they stay in the backup then.
    """
    store = opened()
    with reading() as conn:
        query = text("SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = :name")
        if conn.execute(query, {"name": PACKED}).first() is None:
            return
        for name, data in conn.execute(text(f"SELECT name, bytes FROM {PACKED}")):
            if isinstance(name, str) and isinstance(data, bytes) and name == _name(data):
                _write(_folder(store.path), name, data)
    with writing() as conn:
        conn.execute(text(f"DROP TABLE {PACKED}"))


def _folder(store: Path) -> Path:
    return store.with_name(FOLDER)


def _name(data: bytes) -> str:
    return sha256(data).hexdigest()[:24] + ".jpg"


def _write(folder: Path, name: str, data: bytes) -> None:
    file = folder / name
    if file.is_file() and file.stat().st_size == len(data):
        return
    try:
        folder.mkdir(exist_ok=True)
        handle, part = tempfile.mkstemp(dir=folder, suffix=".part")
        with os.fdopen(handle, "wb") as begun:
            begun.write(data)
            begun.flush()
            os.fsync(begun.fileno())
        os.replace(part, file)
    except OSError as error:
        raise no_folder(file) from error
