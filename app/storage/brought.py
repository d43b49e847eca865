"""Files that somebody has brought and not yet decided on, kept beside the store for a day.

They are looked at before anything of them is stored; each is named by its bytes, so that bringing
it twice is the same, and a reload of its preview finds it again.
"""

import contextlib
import os
import re
import tempfile
import time
from hashlib import sha256
from pathlib import Path

from app.storage.engine import opened
from app.storage.refusals import NotThere, no_folder

FOLDER = "brought"
NAME = re.compile(r"[0-9a-f]{32}")
KEPT_S = 24 * 60 * 60
MOST_KEPT = 50
GONE = "This file was brought more than a day ago and is not kept any more. Bring it again."


def keep_brought(data: bytes) -> str:
    """Keep a file for a day and return its name; older ones go.

    Raises
    ------
    StoreTrouble
        If it can't be written.
    """
    folder, name = opened().path.with_name(FOLDER), sha256(data).hexdigest()[:32]
    try:
        folder.mkdir(exist_ok=True)
        _drop_old(folder)
        handle, part = tempfile.mkstemp(dir=folder)
        with os.fdopen(handle, "wb") as begun:
            begun.write(data)
        os.replace(part, folder / name)
    except OSError as error:
        raise no_folder(folder / name) from error
    return name


def brought(name: str) -> bytes:
    """Return a file that was brought.

    Raises
    ------
    NotThere
        If it is not kept (any more).
    """
    file = opened().path.with_name(FOLDER) / name
    if not NAME.fullmatch(name) or not file.is_file():
        raise NotThere(GONE)
    return file.read_bytes()


def _drop_old(folder: Path) -> None:
    files = sorted(folder.iterdir(), key=lambda file: file.stat().st_mtime, reverse=True)
    until = time.time() - KEPT_S
    for at, file in enumerate(files):
        if at >= MOST_KEPT - 1 or file.stat().st_mtime < until:
            with contextlib.suppress(OSError):
                file.unlink()
