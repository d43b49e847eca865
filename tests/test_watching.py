"""A plan watched from a terminal: how far it is, and how it is stopped."""

import json
import os
import pty
import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from app.__main__ import DONE, UNMET
from tests.live import GOLDEN, ROOT

PATIENCE_S = 120


@contextmanager
def _on_a_terminal(*arguments: object) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "app", *map(str, arguments)],
        cwd=ROOT,
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        start_new_session=True,
    )
    os.close(theirs)
    try:
        yield process, ours
    finally:
        process.kill()
        process.wait()
        os.close(ours)


def _read_until(terminal: int, wanted: bytes) -> bytes:
    said = b""
    until = time.monotonic() + PATIENCE_S
    while wanted not in said and time.monotonic() < until:
        if select.select([terminal], [], [], 0.2)[0]:
            try:
                said += os.read(terminal, 4096)
            except OSError:
                break
    return said


def test_ctrl_c_keeps_the_best_plan(tmp_path: Path) -> None:
    """On a terminal the progress is told; an interrupt to the whole group ends with a plan."""
    plan, day = tmp_path / "plan.json", GOLDEN / "project-j305_1-at.day.json"
    with _on_a_terminal("plan", day, "-o", plan, "--seconds", PATIENCE_S) as (process, terminal):
        said = _read_until(terminal, b": best ")
        assert re.search(rb"\w+: best (none yet|\S+), bound \S+, \d+ s", said), said
        os.killpg(process.pid, signal.SIGINT)
        status = process.wait(PATIENCE_S)
    written = json.loads(plan.read_text("utf-8"))
    assert written["stopped_by"] == "person"
    assert status == (UNMET if written["objective"]["unmet"] else DONE)
