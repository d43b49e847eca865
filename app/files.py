"""Files in and out of the command line: what goes wrong with them is one sentence."""

import contextlib
import errno
import os
import tempfile
from pathlib import Path

READ_MAX = 64 * 1024 * 1024
_WORDS = {
    errno.EACCES: "{path} may not be {done} by you.",
    errno.EPERM: "{path} may not be {done} by you.",
    errno.EROFS: "{path} lies on a disk that can only be read.",
    errno.EISDIR: "{path} is a folder, not a file.",
    errno.ENOSPC: "The disk is full: {path} could not be written.",
    errno.EDQUOT: "Your share of the disk is full: {path} could not be written.",
    errno.ENAMETOOLONG: "The name {path} is too long for this disk.",
}


class Unusable(Exception):
    """A file that can't be read or written; its text is the sentence to show."""


def read(path: Path) -> bytes:
    """Return what stands in a file, at most `READ_MAX` bytes of it.

    Raises
    ------
    Unusable
        If there is no such file or it can't be read.
    """
    try:
        with path.open("rb") as file:
            return file.read(READ_MAX)
    except FileNotFoundError as error:
        raise Unusable(f"There is no file {path}.") from error
    except OSError as error:
        raise Unusable(_said(error, path, "read")) from error


def check_writable(path: Path) -> None:
    """Make sure that a file can be written, before hours of work for it are spent.

    Raises
    ------
    Unusable
        If it can't.
    """
    folder = path.resolve().parent
    if not folder.is_dir():
        raise Unusable(f"There is no folder {folder} to write {path.name} into.")
    if path.is_dir():
        raise Unusable(_WORDS[errno.EISDIR].format(path=path, done="written"))
    if not os.access(path if _is_device(path) else folder, os.W_OK):
        raise Unusable(_WORDS[errno.EACCES].format(path=path, done="written"))


def write(path: Path, data: bytes) -> None:
    """Write a file whole or not at all; what stood there before stays until then.

    Raises
    ------
    Unusable
        If it can't be written.
    """
    try:
        if _is_device(path):
            path.write_bytes(data)
        else:
            _replace(path.resolve(), data)
    except OSError as error:
        raise Unusable(_said(error, path, "written")) from error


def _replace(path: Path, data: bytes) -> None:
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(beside, _mode(path))
        os.replace(beside, path)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(beside)
        raise


def _mode(path: Path) -> int:
    if path.exists():
        return path.stat().st_mode & 0o777
    now = os.umask(0)
    os.umask(now)
    return 0o666 & ~now


def _is_device(path: Path) -> bool:
    return path.exists() and not path.is_file() and not path.is_dir()


def _said(error: OSError, path: Path, done: str) -> str:
    words = _WORDS.get(error.errno or 0, "{path} could not be {done}: {why}.")
    return words.format(path=path, done=done, why=error.strerror or error)
