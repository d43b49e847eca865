"""Planning in a process of its own."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from app.planning.day import Day
from app.planning.plan import Plan
from app.web.jobs import PlanJob
from tests.live import ROOT
from tests.web import solvers

PATIENCE_S = 60


def _wait_until_it_tells(job: PlanJob) -> None:
    until = time.monotonic() + PATIENCE_S
    while job.progress() is None and not job.is_done and time.monotonic() < until:
        time.sleep(0.01)


def test_a_plan_comes_back_audited_with_its_number(knots_day: Day, knots_plan: Plan) -> None:
    """The plan that the child found is the plan that the parent gets."""
    job = PlanJob(knots_day, number=3, solver=solvers.quick)
    assert job.result(PATIENCE_S) == knots_plan.model_copy(update={"number": 3})
    assert job.failed is None
    told = job.progress()
    assert told is not None
    assert (told.goal, told.best, told.bound) == ("cost", 50, 48)


def test_stop_keeps_the_best_plan(knots_day: Day) -> None:
    """A stopped search hands over what it has, and says who stopped it."""
    job = PlanJob(knots_day, solver=solvers.until_stopped)
    _wait_until_it_tells(job)
    assert job.result(timeout=0) is None
    job.stop()
    plan = job.result(PATIENCE_S)
    assert plan is not None
    assert plan.stopped_by == "person"


def _early(job: PlanJob, words: str) -> Plan | None:
    """Return what a job shows before it is done, once a remedy of these words is the last."""
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until and not job.is_done:
        plan = job.so_far()
        if plan is not None and plan.remedies and plan.remedies[-1].words == words:
            return plan
        time.sleep(0.01)
    return job.so_far()


def test_what_would_help_is_shown_while_more_is_looked_for(
    knots_day: Day, knots_plan: Plan
) -> None:
    """The plan that lacks something is there first, audited; then the remedies so far: what is
    better than one of its kind comes in its place.
    """
    job = PlanJob(knots_day, solver=solvers.helping)
    early = _early(job, "Work longer.")
    assert not job.is_done
    assert early is not None
    assert [each.words for each in early.remedies] == ["Start it later.", "Work longer."]
    assert early.model_copy(update={"remedies": ()}) == knots_plan
    job.stop()
    assert job.result(PATIENCE_S) == early


def test_a_plan_that_breaks_a_rule_is_not_shown_meanwhile_either(knots_day: Day) -> None:
    """It is kept back; what comes in the end is looked at by itself."""
    job = PlanJob(knots_day, solver=solvers.wrong_meanwhile)
    _wait_until_it_tells(job)
    assert job.so_far() is None
    job.stop()
    assert job.result(PATIENCE_S) is not None


def test_a_plan_that_breaks_a_rule_is_kept_back(knots_day: Day) -> None:
    """A breach is a fault of the program and is never shown as a plan."""
    job = PlanJob(knots_day, solver=solvers.wrong)
    assert job.result(PATIENCE_S) is None
    assert job.failed is not None
    assert "fault of this program" in job.failed


@pytest.mark.parametrize(
    ("solver", "words"),
    [(solvers.failing, "nothing to divide by"), (solvers.dying, "was killed")],
)
def test_a_planner_that_fails_is_told_in_a_sentence(
    knots_day: Day, solver: object, words: str
) -> None:
    """Whatever ends the child, somebody can read what happened, and nobody waits for ever."""
    job = PlanJob(knots_day, solver=solver)  # type: ignore[arg-type]
    assert job.result(PATIENCE_S) is None
    assert job.failed is not None
    assert words in job.failed
    assert "Nothing was changed." in job.failed


def test_a_planner_that_aborts_is_started_once_more(
    knots_day: Day, knots_plan: Plan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The engine ends its process when one of its own checks fails; the next time it need not."""
    monkeypatch.setenv(solvers.ABORTS, str(tmp_path / "aborts"))
    (tmp_path / "aborts").write_text("1")
    assert PlanJob(knots_day, solver=solvers.aborting).result(PATIENCE_S) == knots_plan
    (tmp_path / "aborts").write_text("2")
    job = PlanJob(knots_day, solver=solvers.aborting)
    assert job.result(PATIENCE_S) is None
    assert job.failed is not None
    assert "SIGABRT" in job.failed


def test_kill_ends_the_planner_at_once(knots_day: Day) -> None:
    """A killed job is done, has no plan and says so; a stop after that harms nothing."""
    job = PlanJob(knots_day, solver=solvers.until_stopped)
    _wait_until_it_tells(job)
    job.kill()
    assert job.result(PATIENCE_S) is None
    assert job.failed is not None
    job.stop()


PARENT = """
import json, os, time
from app.planning.day import Day
from app.web.jobs import PlanJob
from tests.web import solvers
if __name__ == "__main__":
    text = open("tests/golden/knots.day.json", encoding="utf-8").read()
    job = PlanJob(Day.model_validate(json.loads(text)), solver=solvers.until_stopped)
    while job.progress() is None:
        time.sleep(0.01)
    print(job._child._process.pid, flush=True)
    time.sleep(600)
"""


def test_no_planner_outlives_its_parent() -> None:
    """A crash of the server leaves no process behind that eats the machine."""
    parent = subprocess.Popen(
        [sys.executable, "-c", PARENT], cwd=ROOT, stdout=subprocess.PIPE, text=True
    )
    assert parent.stdout is not None
    child = int(parent.stdout.readline())
    parent.kill()
    parent.wait()
    until = time.monotonic() + 10
    while _is_running(child) and time.monotonic() < until:
        time.sleep(0.05)
    assert not _is_running(child)


def _is_running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    with open(f"/proc/{process}/stat") as stat:
        return stat.read().rsplit(")", 1)[1].split()[0] != "Z"
