"""A disk on which only that survives a power cut which SQLite has had synced.

Whatever SQLite writes goes to its file as always. Each time it asks for a sync of a file, what the
file holds by then is kept beside it; whatever came after the last sync would be lost with the
power, all of it, which is the worst that a disk may do (https://www.sqlite.org/atomiccommit.html).
SQLite reaches its files by a table of calls (https://www.sqlite.org/vfs.html); this one stands in
for the usual table while it is in use, and leads on to it.
"""

import _sqlite3
import ctypes
import shutil
import threading
from collections.abc import Callable
from ctypes import POINTER, Structure, c_char_p, c_int, c_void_p, cast
from pathlib import Path
from types import TracebackType
from typing import Self


class _Vfs(Structure):
    """`sqlite3_vfs` of version 3: a table of what SQLite asks of a system."""

    _fields_ = (
        ("version", c_int),
        ("size_of_file", c_int),
        ("longest_path", c_int),
        ("next", c_void_p),
        ("name", c_char_p),
        ("data", c_void_p),
        ("open", c_void_p),
        ("others", c_void_p * 15),
    )


class _Methods(Structure):
    """`sqlite3_io_methods` of version 3: a table of what SQLite asks of a file."""

    _fields_ = (
        ("version", c_int),
        ("before", c_void_p * 4),
        ("sync", c_void_p),
        ("after", c_void_p * 13),
    )


class _File(Structure):
    _fields_ = (("methods", POINTER(_Methods)),)


# The address of a path is handed on as it is: SQLite goes on reading there.
_OPEN = ctypes.CFUNCTYPE(c_int, c_void_p, c_void_p, POINTER(_File), c_int, c_void_p)
_SYNC = ctypes.CFUNCTYPE(c_int, POINTER(_File), c_int)
_VERSION = 3


class Disk:
    """The files of a store as a power cut would leave them, for as long as this is entered.

    No store may be open while it is entered or left.
    """

    def __init__(self, store: Path, synced: Path) -> None:
        self.store, self.synced = store, synced
        self.syncs = 0
        self._turn = threading.Lock()
        self._files: dict[int, tuple[Path, Callable[..., int]]] = {}
        self._sqlite = ctypes.CDLL(getattr(_sqlite3, "__file__", None))
        self._sqlite.sqlite3_vfs_find.restype = POINTER(_Vfs)
        self._usual = self._sqlite.sqlite3_vfs_find(None)
        self._own = _Vfs.from_buffer_copy(self._usual.contents)
        self._own.name = b"power-cut"
        # SQLite keeps only addresses of these, so they are kept here.
        self._opened, self._synced = _OPEN(self._open), _SYNC(self._sync)
        self._own.open = cast(self._opened, c_void_p)
        self._open_usual = cast(self._usual.contents.open, _OPEN)
        self._methods: dict[int, _Methods] = {}

    def __enter__(self) -> Self:
        assert self._own.version == _VERSION
        self.synced.mkdir()
        shutil.copy(self.store, self.synced)
        self._sqlite.sqlite3_vfs_register(ctypes.byref(self._own), 1)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._sqlite.sqlite3_vfs_register(self._usual, 1)
        self._sqlite.sqlite3_vfs_unregister(ctypes.byref(self._own))

    def cut(self, folder: Path) -> Path:
        """Copy what a power cut at this moment would leave, and return the store there."""
        with self._turn:
            shutil.copytree(self.synced, folder)
        return folder / self.store.name

    def _open(self, _: int, path: int | None, file: "ctypes._Pointer[_File]", *rest: int) -> int:
        code: int = self._open_usual(ctypes.addressof(self._usual.contents), path, file, *rest)
        if code == 0 and path is not None and file.contents.methods:
            usual = file.contents.methods.contents
            own = self._methods.setdefault(ctypes.addressof(usual), self._like(usual))
            at = ctypes.addressof(file.contents)
            self._files[at] = (Path(ctypes.string_at(path).decode()), cast(usual.sync, _SYNC))
            file.contents.methods = ctypes.pointer(own)
        return code

    def _like(self, usual: _Methods) -> _Methods:
        """Return a table like the usual one of a file, but for its sync."""
        assert usual.version == _VERSION
        own = _Methods.from_buffer_copy(usual)
        own.sync = cast(self._synced, c_void_p)
        return own

    def _sync(self, file: "ctypes._Pointer[_File]", flags: int) -> int:
        path, usual = self._files[ctypes.addressof(file.contents)]
        code = usual(file, flags)
        if code == 0 and path.parent == self.store.parent:
            with self._turn:
                shutil.copy(path, self.synced / path.name)
                self.syncs += 1
        return code
