"""A backup is whole, or the older one stays."""

import threading
from pathlib import Path

import pytest

from app.planning.day import Day
from app.storage import backup, engine
from app.storage.changes.productions import add_production
from app.storage.engine import close_store, open_store, reading, writing
from app.storage.queries.productions import all_productions
from app.storage.refusals import NoFolder, NoStore, StoreDamaged
from app.storage.translate import day_of


def test_a_backup_is_a_store_with_the_same_days(
    planned: int, store: Path, knots_day: Day, tmp_path: Path
) -> None:
    """Tests that what is only in the write-ahead log is in it too."""
    target = backup.back_up(store, tmp_path / "backup.sqlite")
    close_store()
    open_store(target)
    with reading() as connection:
        assert day_of(connection, planned) == knots_day
    assert sorted(path.name for path in tmp_path.glob("*.part")) == []


def test_a_backup_is_made_while_others_write(store: Path, knots_day: Day, tmp_path: Path) -> None:
    """Tests that it is one moment of the store, and ends."""
    is_over = threading.Event()

    def write() -> None:
        at = 0
        while not is_over.is_set() and at < 200:
            with writing() as connection:
                add_production(connection, knots_day, by="Ada", once=f"{at}")
            at += 1

    writer = threading.Thread(target=write)
    writer.start()
    targets = [backup.back_up(store, tmp_path / f"{at}.backup") for at in range(3)]
    is_over.set()
    writer.join()
    close_store()
    for target in targets:
        open_store(target)
        with reading() as connection:
            rows = all_productions(connection)
            assert all(day_of(connection, row.id) == knots_day for row in rows)


def test_an_unsound_copy_does_not_replace_the_backup(
    store: Path, planned: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tests that yesterday's backup outlives today's failure."""
    target = tmp_path / "backup.sqlite"
    target.write_text("yesterday's")

    def unsound(source: Path, part: Path) -> None:
        part.write_text("half a copy")
        raise StoreDamaged("The copy is not sound.")

    monkeypatch.setattr(engine, "copy_into", unsound)
    with pytest.raises(StoreDamaged):
        backup.back_up(store, target)
    assert target.read_text() == "yesterday's"
    assert list(tmp_path.glob("*.part")) == []


def test_a_place_that_cannot_be_written_is_told(store: Path, tmp_path: Path) -> None:
    """Tests a folder that is not there, a device, and the store's own files."""
    own = [store.with_name(store.name + end) for end in backup.BESIDE]
    for target in (tmp_path / "missing" / "backup.sqlite", Path("/dev/null"), *own):
        with pytest.raises(NoFolder, match="can't be written"):
            backup.back_up(store, target)
    assert Path("/dev/null").is_char_device()
    with reading() as connection:
        assert all_productions(connection) == []


def test_a_file_that_is_no_store_is_not_backed_up(tmp_path: Path) -> None:
    """Tests that it is named, and nothing is made of it."""
    notes = tmp_path / "notes.txt"
    with pytest.raises(NoStore, match="no store"):
        backup.back_up(notes, tmp_path / "backup.sqlite")
    notes.write_text("a shopping list " * 500, "utf-8")
    with pytest.raises(StoreDamaged, match=r"notes\.txt"):
        backup.back_up(notes, tmp_path / "backup.sqlite")
    assert list(tmp_path.iterdir()) == [notes]
