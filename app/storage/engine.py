"""The one open store: SQLite, and everything that only SQLite understands.

Readers have connections of their own that cannot write. All writing goes through one
connection, one thread at a time, and only that connection moves the write-ahead log into the
file: SQLite up to 3.51.2 can lose commits when two connections do that at once.
"""

import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, text
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from sqlalchemy.pool import QueuePool

from app.storage import refusals, versions
from app.storage.holding import hold

BUSY_MS = 5_000
WAIT_FOR_WRITER_S = 30
READERS = 16
BUSY = (
    "The store is busy with something else for too long. "
    "Nothing of this was stored; try again in a moment."
)
Pragmas = dict[str, str | int]
READER: Pragmas = {"busy_timeout": BUSY_MS, "foreign_keys": "ON", "query_only": "ON"}
WRITER: Pragmas = {
    "busy_timeout": BUSY_MS,
    "foreign_keys": "ON",
    "journal_mode": "WAL",
    "synchronous": "FULL",
}


class Store:
    """One file with its connections; `on_close` runs before they close."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.held = hold(path)
        self.turn = threading.Lock()
        self.writes: int | None = None
        self.writer = _engine(path, WRITER, begin="BEGIN IMMEDIATE", connections=1)
        self.reader = _engine(path, READER, begin="BEGIN", connections=READERS)
        self.on_close: list[Callable[[], None]] = []

    def close(self) -> None:
        """Close every connection; what was acknowledged is in the file."""
        for each in self.on_close:
            each()
        self.reader.dispose()
        self.writer.dispose()
        self.held.close()


_open: list[Store] = []


def open_store(path: Path) -> None:
    """Open the store at `path`, make it if it is missing, bring it to the newest version.

    Raises
    ------
    StoreTrouble
        If it can't be read, written, is no store or was written by a newer version.
    """
    close_store()
    store = Store(path)
    try:
        with trouble_told(path):
            _migrate(store)
    except BaseException:
        store.close()
        raise
    _open.append(store)


def close_store() -> None:
    """Close the open store, if there is one."""
    while _open:
        _open.pop().close()


def opened() -> Store:
    """Return the open store."""
    if not _open:
        raise refusals.NoStore("No store is open. Start the program again.")
    return _open[-1]


@contextmanager
def reading() -> Iterator[Connection]:
    """Yield a connection that sees one moment of the store and cannot change it."""
    store = opened()
    with trouble_told(store.path), store.reader.connect() as connection, connection.begin():
        yield connection


def is_reader(connection: Connection) -> bool:
    """Return whether a connection comes from `reading`."""
    return bool(_open) and connection.engine is opened().reader


@contextmanager
def writing() -> Iterator[Connection]:
    """Yield the writing connection; all is stored at the end, or nothing if anything fails.

    Solve, draw and wait outside of it: nobody else can write meanwhile.
    """
    store = opened()
    after: list[Callable[[], None]] = []
    with trouble_told(store.path), _turn(store), store.writer.begin() as connection:
        connection.info["after_commit"] = after
        yield connection
    for each in after:
        each()


def after_commit(connection: Connection, call: Callable[[], None]) -> None:
    """Have `call` run once what is being written is safely stored; never if it is not."""
    connection.info["after_commit"].append(call)


def copy_into(source: Path, target: Path) -> None:
    """Write a whole copy of a store to a new file, from one moment of it, and check it.

    The store may be open, here or in another process: it is only read.

    Raises
    ------
    StoreTrouble
        If it can't be read, the copy can't be written, or is not sound.
    """
    address = f"{source.resolve().as_uri()}?mode=ro"
    with closing(sqlite3.connect(address, timeout=BUSY_MS / 1000, uri=True)) as connection:
        with trouble_told(source):
            connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        with trouble_told(target):
            connection.execute("VACUUM INTO ?", (str(target),))
    with trouble_told(target), closing(sqlite3.connect(target)) as connection:
        found = connection.execute("PRAGMA integrity_check").fetchone()[0]
    if found != "ok":
        raise refusals.StoreDamaged(f"The copy is not sound ({found}), so it was not kept.")


@contextmanager
def _turn(store: Store) -> Iterator[None]:
    this = threading.get_ident()
    if store.writes == this:
        raise RuntimeError("writing() inside writing(): hand the connection on instead")
    if not store.turn.acquire(timeout=WAIT_FOR_WRITER_S):
        raise refusals.StoreLocked(BUSY)
    store.writes = this
    try:
        yield
    finally:
        store.writes = None
        store.turn.release()


def _engine(path: Path, pragmas: Pragmas, *, begin: str, connections: int) -> Engine:
    engine = create_engine(
        URL.create("sqlite", database=str(path)),
        poolclass=QueuePool,
        pool_size=connections,
        max_overflow=0,
        pool_timeout=WAIT_FOR_WRITER_S,
        connect_args={"check_same_thread": False, "isolation_level": None},
    )

    @event.listens_for(engine, "connect")
    def _set(connection: Any, _record: object) -> None:
        for name, value in pragmas.items():
            connection.execute(f"PRAGMA {name} = {value}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql(begin)

    return engine


def _migrate(store: Store) -> None:
    """Bring the store to the newest version, with keys off: moving a table would cascade."""
    with store.writer.connect() as connection:
        driver: Any = connection.connection.driver_connection
        driver.execute("PRAGMA foreign_keys = OFF")
        try:
            with connection.begin():
                if versions.upgrade(connection, store.path):
                    _check_keys(connection)
        finally:
            driver.execute("PRAGMA foreign_keys = ON")


def _check_keys(connection: Connection) -> None:
    broken = connection.execute(text("PRAGMA foreign_key_check")).fetchall()
    if broken:
        raise refusals.StoreDamaged(
            f"The store could not be brought to this version: {len(broken)} rows would point "
            "nowhere. Nothing was changed; keep the file and tell who looks after the program."
        )


@contextmanager
def trouble_told(path: Path) -> Iterator[None]:
    """Tell what SQLite refuses as a sentence for a person."""
    try:
        yield
    except PoolTimeout as error:
        raise refusals.StoreLocked(BUSY) from error
    except (DBAPIError, sqlite3.Error) as error:
        cause = error.orig if isinstance(error, DBAPIError) else error
        told = _trouble(getattr(cause, "sqlite_errorname", None) or "", path)
        if told is None:
            raise
        raise told from error


def _trouble(name: str, path: Path) -> refusals.StoreTrouble | None:
    kept = "Nothing of this was stored; what was saved before is still there."
    if name.startswith("SQLITE_FULL"):
        return refusals.DiskFull(f"The disk is full. {kept} Make room and try again.")
    if name.startswith("SQLITE_IOERR"):
        return refusals.DiskFull(
            f"The disk would not take or give what {path} needs. {kept} "
            "Look whether it is full or broken, and try again."
        )
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM")):
        return refusals.no_folder(path)
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return refusals.StoreLocked(
            f"Another program holds {path}. {kept} Close the other one, then try again."
        )
    if name.startswith(("SQLITE_NOTADB", "SQLITE_CORRUPT")):
        return refusals.StoreDamaged(
            f"{path} is not a store of this program, or it is damaged. Nothing was changed; "
            "bring back a backup, or choose another file."
        )
    return None
