"""Nothing that was answered is lost when the process is killed or the power is cut."""

import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest

from app.storage import engine, log
from app.storage.engine import close_store, open_store, reading, writing
from app.storage.queries.ticks import since
from tests.storage.opened import tick
from tests.storage.power_cut import Disk

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("answers", [5, 40, 200])
def test_a_killed_process_loses_no_answered_tick(planned: int, store: Path, answers: int) -> None:
    """Tests `kill -9` in the middle of the work of four threads.

    What was stored without an answer may be there too; its key then gives the same number.
    """
    close_store()
    ticking = subprocess.Popen(
        [sys.executable, "-m", "tests.storage.ticker", str(store), str(planned)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
    )
    assert ticking.stdout
    told = [ticking.stdout.readline() for _ in range(answers)]
    ticking.kill()
    told += ticking.communicate()[0].splitlines(keepends=True)
    answered = dict(line.decode().split() for line in told if line.endswith(b"\n"))
    assert len(answered) >= answers

    open_store(store)
    with reading() as connection:
        stored = {each.once: each.n for each in since(connection, planned)}
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
    assert {once: stored.get(once) for once in answered} == {
        once: int(n) for once, n in answered.items()
    }
    assert sorted(n or 0 for n in stored.values()) == list(range(1, len(stored) + 1))
    for once, n in stored.items():
        if once not in answered and not once.endswith("undo"):
            assert log.append(planned, [tick("started", once, batch="b1")]) == [n]


@pytest.fixture
def disk(planned: int, store: Path, tmp_path: Path) -> Iterator[Disk]:
    """Yield a disk that keeps what was synced, with the planned store on it."""
    close_store()
    with Disk(store, tmp_path / "synced") as disk:
        yield disk
        close_store()


def ticked(production: int, thread: int, times: int) -> Iterator[tuple[str, int]]:
    """Start a batch and take that back, over and over; yield key and number of each answer."""
    for at in range(times):
        key = f"{thread}-{at}"
        yield key, log.append(production, [tick("started", key, batch=f"b{thread + 1}")])[0]
        undo = tick("undone", f"{key}-undo", undoes_once=key)
        yield f"{key}-undo", log.append(production, [undo])[0]


def keys(store: Path) -> dict[str, int]:
    """Return the numbers of the events in the file of a store by their keys."""
    with closing(sqlite3.connect(store)) as connection:
        return dict(connection.execute("SELECT once, n FROM events"))


def test_a_power_cut_right_after_an_answer_loses_no_tick(
    planned: int, store: Path, disk: Disk, tmp_path: Path
) -> None:
    """Cut after each of forty answers; the store is checkpointed several times among them."""
    open_store(store)
    with writing() as connection:
        connection.exec_driver_sql("PRAGMA wal_autocheckpoint = 20")
    answered: dict[str, int] = {}
    for once, n in ticked(planned, 0, 20):
        answered[once] = n
        assert keys(disk.cut(tmp_path / once)) == answered
    left = disk.cut(tmp_path / "left")
    close_store()
    open_store(left)
    with reading() as connection:
        assert {each.once: each.n for each in since(connection, planned)} == answered
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"


def test_a_power_cut_among_many_who_tick_loses_no_answered_tick(
    planned: int, store: Path, disk: Disk, tmp_path: Path
) -> None:
    """Several ticks share a commit, and each is safe before anybody hears of it."""
    open_store(store)
    before = disk.syncs
    answered: dict[str, int] = {}

    def work(thread: int) -> None:
        answered.update(ticked(planned, thread, 12))

    with ThreadPoolExecutor(4) as pool:
        working = [pool.submit(work, thread) for thread in range(4)]
        for at in range(10):
            heard = dict(answered)
            stored = keys(disk.cut(tmp_path / str(at)))
            assert heard.items() <= stored.items()
        for each in working:
            each.result()
    assert keys(disk.cut(tmp_path / "left")).items() >= answered.items()
    assert disk.syncs > before


def test_without_full_syncs_a_power_cut_would_lose_ticks(
    planned: int, store: Path, disk: Disk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk of these tests can tell: SQLite's NORMAL syncs only when it checkpoints."""
    monkeypatch.setitem(engine.WRITER, "synchronous", "NORMAL")
    open_store(store)
    answered = dict(ticked(planned, 0, 5))
    assert keys(disk.cut(tmp_path / "left")).items() < answered.items()
