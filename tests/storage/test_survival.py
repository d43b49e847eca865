"""A process that is killed loses nothing that it has answered."""

import subprocess
import sys
from pathlib import Path

import pytest

from app.storage import log
from app.storage.engine import close_store, open_store, reading
from app.storage.queries.ticks import since
from tests.storage.opened import tick

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
