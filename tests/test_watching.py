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
from typing import cast

import pytest

from app.__main__ import DONE, UNMET
from app.planning.day import Day
from app.planning.plan import Blocker, Plan, Remedy
from app.watching import watched
from app.web.jobs import PlanJob
from tests.live import ROOT
from tests.web.desk import QuietJob

PATIENCE_S = 120


@contextmanager
def _on_a_terminal(*arguments: object) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    # who checks in the background ignores interrupts, and so would the program
    signal.signal(signal.SIGINT, signal.default_int_handler)
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
    plan, day = tmp_path / "plan.json", ROOT / "seed_demo" / "studio.day.json"
    with _on_a_terminal("plan", day, "-o", plan, "--seconds", PATIENCE_S) as (process, terminal):
        said = _read_until(terminal, b": best ")
        assert re.search(rb"\w+: best (none yet|\S+), bound \S+, \d+ s", said), said
        os.killpg(process.pid, signal.SIGINT)
        status = process.wait(PATIENCE_S)
    written = json.loads(plan.read_text("utf-8"))
    assert written["stopped_by"] == "person"
    assert status == (UNMET if written["objective"]["unmet"] else DONE)


class _Steps(QuietJob):
    """A job that has found one thing more each time that somebody looks."""

    steps: Iterator[Plan]

    def result(self, timeout: float | None = None) -> Plan | None:
        """Find something more, until there is nothing left to find."""
        self.early = next(self.steps, self.early)
        self.plan = self.early if self.early is not None and len(self.early.remedies) > 1 else None
        return self.plan


def test_what_would_help_has_its_line_when_it_is_found(
    knots_day: Day, knots_plan: Plan, capsys: pytest.CaptureFixture[str]
) -> None:
    """Once each, also where no terminal is: first what stands in the way, then each remedy."""
    found = [Remedy(change=(), words=f"Do {n}.", cost=50, hands_min=9) for n in (1, 2)]
    blocked = knots_plan.model_copy(update={"blockers": (Blocker(facts=(), words="It clashes."),)})
    helped = [blocked.model_copy(update={"remedies": tuple(found[:n])}) for n in (1, 1, 2)]
    job = _Steps(knots_day, 1)
    job.steps = iter([knots_plan, blocked, *helped])
    assert watched(cast(PlanJob, job)) == helped[-1]
    said = capsys.readouterr()
    assert said.out == ""
    lines = said.err.splitlines()
    assert lines[0] == "In the way: It clashes."
    assert [line.partition(". ")[0] for line in lines[1:]] == [
        "Would help: Do 1",
        "Would help: Do 2",
    ]
    assert "Copies cost 50" in lines[1]
