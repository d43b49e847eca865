"""The store under pressure: many writers, a full disk, a locked file, a folder that is none."""

import sqlite3
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy import Connection, insert, select, text, update
from sqlalchemy.exc import IntegrityError

from app.storage import engine
from app.storage.engine import close_store, open_store, reading, writing
from app.storage.refusals import (
    DiskFull,
    NoFolder,
    NoStore,
    StoreDamaged,
    StoreLocked,
)
from app.storage.tables.kitchens import KITCHENS, SHELVES

ROOT = Path(__file__).parents[2]
HOLD = """
import sys
from pathlib import Path
from app.storage.engine import open_store
open_store(Path(sys.argv[1]))
print("open", flush=True)
sys.stdin.read()
"""


def counted() -> int:
    """Return the count that the writers below keep in a name."""
    with reading() as connection:
        return int(connection.execute(select(KITCHENS.c.name)).scalar() or 0)


def write_and_fail(write: Callable[[Connection], object]) -> None:
    """Fail after something was written, before it is stored."""
    with writing() as connection:
        write(connection)
        raise ZeroDivisionError


def test_four_threads_of_twenty_read_then_writes_keep_eighty(store: Path) -> None:
    """Tests that nobody writes over what another has written between reading and writing."""
    with writing() as connection:
        connection.execute(insert(KITCHENS).values(name="0"))

    def add_twenty(_: int) -> None:
        for _ in range(20):
            with writing() as connection:
                held = int(connection.execute(select(KITCHENS.c.name)).scalar() or 0)
                connection.execute(update(KITCHENS).values(name=str(held + 1)))

    with ThreadPoolExecutor(4) as threads:
        list(threads.map(add_twenty, range(4)))
    assert counted() == 80


def test_a_reader_sees_one_moment(store: Path) -> None:
    """What is written while somebody reads is seen by the next reading only."""
    with reading() as connection:
        assert connection.execute(select(KITCHENS.c.id)).all() == []
        with writing() as other:
            other.execute(insert(KITCHENS).values(name="new"))
        assert connection.execute(select(KITCHENS.c.id)).all() == []
    with reading() as connection:
        assert len(connection.execute(select(KITCHENS.c.id)).all()) == 1


def test_a_reader_cannot_write(store: Path) -> None:
    """Tests that a page that only reads changes nothing, even by a mistake of ours."""
    with pytest.raises(NoFolder), reading() as connection:
        connection.execute(insert(KITCHENS).values(name="new"))


def test_a_failure_stores_nothing(store: Path) -> None:
    """Tests that all of a writing is stored or none of it."""
    with pytest.raises(ZeroDivisionError):
        write_and_fail(lambda connection: connection.execute(insert(KITCHENS).values(name="new")))
    with reading() as connection:
        assert connection.execute(select(KITCHENS.c.id)).all() == []


def test_calls_after_a_commit_come_only_after_a_commit(store: Path) -> None:
    """Tests that nobody hears of what was not stored."""
    heard: list[str] = []
    with writing() as connection:
        engine.after_commit(connection, lambda: heard.append("stored"))
        assert heard == []
    with pytest.raises(ZeroDivisionError):
        write_and_fail(
            lambda connection: engine.after_commit(connection, lambda: heard.append("no"))
        )
    assert heard == ["stored"]


def test_writing_inside_writing_is_a_mistake_told_at_once(store: Path) -> None:
    """Tests that our own slip does not wait for itself."""
    with writing(), pytest.raises(RuntimeError, match="hand the connection on"), writing():
        pass


@pytest.mark.parametrize("levels", ["text", -1, 2_000_000])
def test_a_check_holds_both_bounds(store: Path, levels: object) -> None:
    """In SQLite a text is greater than any number, so a lower bound alone would let it in."""
    with writing() as connection:
        kitchen = connection.execute(insert(KITCHENS).values(name="k").returning(KITCHENS.c.id))
        row = {"kitchen_id": kitchen.scalar(), "position": 0, "key": "a", "levels": []}
        connection.execute(insert(SHELVES), row | {"zone": "chill"})
    with pytest.raises(IntegrityError), writing() as connection:
        connection.execute(text("UPDATE shelves SET position = :to"), {"to": levels})


def test_keys_are_held(store: Path) -> None:
    """Tests that no row can point nowhere."""
    row = {"kitchen_id": 99, "position": 0, "key": "a", "zone": "chill", "levels": []}
    with pytest.raises(IntegrityError, match="FOREIGN KEY"), writing() as connection:
        connection.execute(insert(SHELVES), row)


def test_writers_wait_for_the_disk(store: Path) -> None:
    """Tests the settings on which a power cut depends, on both kinds of connection."""
    with writing() as connection:
        said = [
            connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        ]
    assert said == ["wal", 2, 1, engine.BUSY_MS]
    with reading() as connection:
        assert connection.exec_driver_sql("PRAGMA query_only").scalar() == 1


def test_a_full_disk_is_told_and_loses_nothing(store: Path) -> None:
    """Tests a disk that takes nothing more, and that writing goes on once there is room."""
    with writing() as connection:
        connection.execute(insert(KITCHENS).values(name="before"))
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(DiskFull, match="disk is full"), writing() as connection:
        connection.execute(insert(KITCHENS).values(name="x" * 100_000))
    with writing() as connection:
        connection.exec_driver_sql("PRAGMA max_page_count = 1000000")
        connection.execute(insert(KITCHENS).values(name="after"))
    with reading() as connection:
        assert set(connection.execute(select(KITCHENS.c.name)).scalars()) == {"before", "after"}


def test_a_file_that_another_program_writes_is_told(store: Path) -> None:
    """Tests somebody who looks into the file with another tool and forgets to let go."""
    with writing() as connection:
        connection.exec_driver_sql("PRAGMA busy_timeout = 50")
    other = sqlite3.connect(store, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreLocked, match="Another program holds"), writing():
        pass
    other.execute("ROLLBACK")
    other.close()
    with writing() as connection:
        connection.execute(insert(KITCHENS).values(name="after"))


def test_two_servers_do_not_share_a_store(tmp_path: Path) -> None:
    """They would not hear of each other's ticks; when the first ends, the second may start."""
    path = tmp_path / "held.sqlite"
    other = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(path)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    assert other.stdout
    assert other.stdout.readline() == b"open\n"
    with pytest.raises(StoreLocked, match="Another server"):
        open_store(path)
    other.kill()
    other.communicate()
    open_store(path)
    close_store()


@pytest.mark.parametrize("place", ["missing/store.sqlite", "file/store.sqlite", "folder.sqlite"])
def test_a_place_that_cannot_be_written_is_told(tmp_path: Path, place: str) -> None:
    """Tests a folder that is not there, a folder that is a file, a file that is a folder."""
    (tmp_path / "file").write_text("")
    (tmp_path / "folder.sqlite").mkdir()
    with pytest.raises(NoFolder, match="can't be written"):
        open_store(tmp_path / place)


def test_a_file_that_is_no_store_is_told(tmp_path: Path) -> None:
    """Tests a photograph in the place of the store; it stays as it is."""
    path = tmp_path / "photo.sqlite"
    path.write_bytes(b"\x89PNG" + bytes(range(256)) * 64)
    before = path.read_bytes()
    with pytest.raises(StoreDamaged, match="not a store"):
        open_store(path)
    assert path.read_bytes() == before


def test_without_a_store_everything_says_so() -> None:
    """Tests that nobody falls into a half-open program."""
    close_store()
    with pytest.raises(NoStore), reading():
        pass
    with pytest.raises(NoStore), writing():
        pass
