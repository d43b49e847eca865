"""Photographs beside the store: kept once, safe from their names, and part of every backup."""

import sqlite3
from pathlib import Path

import pytest

from app.planning.day import Day
from app.storage.backup import back_up
from app.storage.engine import close_store, open_store, reading
from app.storage.photographs import (
    FOLDER,
    keep_photograph,
    photograph,
    photograph_bytes,
    unpack_photographs,
)
from app.storage.queries.productions import all_productions
from app.storage.refusals import NoFolder, Refusal
from tests.live import stored


def test_a_photograph_is_kept_once_beside_the_store(store: Path) -> None:
    """The same picture of two stages is one file, named by its bytes."""
    names = {keep_photograph(b"tart"), keep_photograph(b"tart"), keep_photograph(b"bread")}
    assert {file.name for file in (store.parent / FOLDER).iterdir()} == names
    assert len(names) == 2
    assert {photograph_bytes(name) for name in names} == {b"tart", b"bread"}


@pytest.mark.parametrize(
    "name", ["", "photo.jpg", "../stagelarder.sqlite", "..", "/etc/passwd", "a" * 24 + ".jpg", "\0"]
)
def test_a_name_leads_nowhere_else(store: Path, name: str) -> None:
    """A day file may name any file; only photographs that were kept here are shown."""
    keep_photograph(b"tart")
    assert photograph(name) is None
    with pytest.raises(Refusal):
        photograph_bytes(name)


def test_a_folder_that_cannot_be_written_is_told(store: Path) -> None:
    """And the photograph is not half there."""
    (store.parent / FOLDER).write_text("in the way")
    with pytest.raises(NoFolder, match="can't be written"):
        keep_photograph(b"tart")


def test_a_backup_holds_the_photographs_and_puts_them_back(
    store: Path, tmp_path: Path, knots_day: Day
) -> None:
    """One checked file to keep elsewhere, as before; in a new folder it unpacks itself."""
    stored(knots_day, None)
    name = keep_photograph(b"tart")
    copy = tmp_path / "elsewhere" / "stagelarder.sqlite"
    copy.parent.mkdir()
    back_up(store, copy)
    close_store()
    open_store(copy)
    unpack_photographs()
    assert photograph_bytes(name) == b"tart"
    with reading() as conn:
        assert len(all_productions(conn)) == 1
    close_store()
    with sqlite3.connect(copy) as connection:
        tables = connection.execute("SELECT name FROM sqlite_schema").fetchall()
    assert ("packed_photographs",) not in tables


def test_a_photograph_that_a_backup_misnames_is_left_out(store: Path) -> None:
    """Whoever can write a file cannot have it laid under another's name."""
    with sqlite3.connect(store) as connection:
        connection.execute("CREATE TABLE packed_photographs (name TEXT, bytes BLOB)")
        rows = [("../x.jpg", b"evil"), ("a" * 24 + ".jpg", b"evil")]
        connection.executemany("INSERT INTO packed_photographs VALUES (?, ?)", rows)
    unpack_photographs()
    assert not (store.parent / FOLDER).exists()
