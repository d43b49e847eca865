"""The command line: what it does, how it ends, and what it says when it can't."""

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app.__main__ import main
from app.arguments import BREACHES, DONE, FAILED, REFUSED, UNMET
from tests.live import GOLDEN, ROOT

Ended = tuple[int, list[str], list[str]]
Run = Callable[..., Ended]


@pytest.fixture
def run(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Return a runner of one command: its status, its lines on stdout and on stderr."""

    def ended(*arguments: object) -> Ended:
        # A command that fails closes stdout, as the last thing before the process ends.
        with monkeypatch.context() as patch, open(os.dup(1), "w", encoding="utf-8") as stdout:
            patch.setattr(sys, "stdout", stdout)
            status = main([str(each) for each in arguments])
        said = capfd.readouterr()
        return status, said.out.splitlines(), said.err.splitlines()

    return ended


@pytest.fixture
def document(golden: Callable[[str], Any], tmp_path: Path) -> Callable[..., Path]:
    """Return a writer of a golden document with some of its keys changed."""

    def written(name: str, **changes: object) -> Path:
        path = tmp_path / name
        path.write_text(json.dumps(golden(name) | changes), "utf-8")
        return path

    return written


KNOTS, KNOTS_PLAN = GOLDEN / "knots.day.json", GOLDEN / "knots.plan.json"


def test_a_day_is_planned_audited_and_printed(run: Run, tmp_path: Path) -> None:
    """The three commands follow each other, and each says 0."""
    day, plan, pdf = GOLDEN / "slack-met.day.json", tmp_path / "plan.json", tmp_path / "b.pdf"
    status, told, faults = run("plan", day, "-o", plan)
    assert (status, faults) == (DONE, [])
    assert "optimal" in told[0]
    assert run("audit", day, plan)[0] == DONE
    assert run("print", day, plan, "--paper", "board", "--size", "LETTER", "-o", pdf)[0] == DONE
    assert pdf.read_bytes().startswith(b"%PDF")


def test_what_cannot_be_served_is_told_and_the_best_plan_is_still_written(
    run: Run, tmp_path: Path, expected: dict[str, Any]
) -> None:
    """Status 3, a plan that lists what is unmet, why, and what would help, in sentences too."""
    plan = tmp_path / "plan.json"
    status, told, early = run("plan", GOLDEN / "spring-missed.day.json", "-o", plan)
    assert status == UNMET
    lines = [line.partition(": ")[2] for line in early]
    assert set(lines) <= {line.removeprefix("- ") for line in told}
    assert told[1] == "What stands in the way:"
    assert told[2].startswith("- No kitchen can do this: it needs more time than there is: ")
    assert told[3] == "What would help:"
    assert "- Start t1 at Sun 06:01, 1 min later. Copies cost 1 (1 more), " in "\n".join(told)
    written = json.loads(plan.read_text("utf-8"))
    assert written["status"] == "impossible"
    assert written["objective"]["unmet"] == expected["spring-missed"]["unmet"] > 0
    assert written["unmet"]
    assert f"- {written['blockers'][0]['words']}" == told[2]
    assert len(written["remedies"]) == len(told[4:])


def test_a_plan_without_day_or_why_is_not_compared(run: Run) -> None:
    """The golden plan bears neither, and is audited all the same."""
    status, told, faults = run("audit", KNOTS, KNOTS_PLAN)
    assert (status, faults) == (DONE, [])
    assert len(told) == 1


def test_a_batch_is_explained(run: Run) -> None:
    """What it serves, what binds it, how far it could move; one that is not there is a sentence."""
    status, told, _ = run("audit", KNOTS, KNOTS_PLAN, "--why", "b2")
    assert status == DONE
    assert told[1:] == [
        "b2: Cardamom knots, mixed (mixer), 1 copy, 11:49 to 12:01.",
        "It is for reveal of knots-take-1 at 14:05.",
        "It cannot start later: cook-1 begins Cardamom knots, mixed at 12:01.",
        "It cannot start earlier: Cardamom knots, scaled (KN-1) is staged at 11:49.",
    ]
    status, _, faults = run("audit", KNOTS, KNOTS_PLAN, "--why", "b77")
    assert status == FAILED
    assert faults == ["There is no batch “b77” in this plan; it has b1 to b9."]


def test_the_plan_of_another_day_is_refused(run: Run, document: Callable[..., Path]) -> None:
    """A plan that names the day that it is of is held to it, by audit, risk and print."""
    plan = document("knots.plan.json", day="0" * 64)
    printed = ["print", KNOTS, plan, "--paper", "board", "-o", "x"]
    for command in (["audit", KNOTS, plan], ["risk", KNOTS, plan], printed):
        status, told, faults = run(*command)
        assert (status, told) == (REFUSED, [])
        assert len(faults) == 1
        assert "another day" in faults[0]


def test_a_plan_that_breaks_rules_has_a_line_for_each_and_is_not_printed(
    run: Run, document: Callable[..., Path], golden: Callable[[str], Any], tmp_path: Path
) -> None:
    """`print` audits first: nobody should work from a paper that is wrong."""
    plan = document("knots.plan.json", batches=golden("knots.plan.json")["batches"][1:])
    status, told, faults = run("audit", KNOTS, plan)
    assert (status, faults) == (BREACHES, [])
    assert told
    assert all(re.match(r"[a-z]+: ", line) for line in told)
    pdf = tmp_path / "board.pdf"
    assert run("print", KNOTS, plan, "--paper", "board", "-o", pdf)[:2] == (BREACHES, told)
    assert not pdf.exists()
    assert run("risk", KNOTS, plan)[:2] == (BREACHES, told)


def _events(path: Path, *said: dict[str, Any]) -> Path:
    """Write what is said as a file of events of the day of the knots, and return its path."""
    every = [
        {"n": n, "at": f"2027-03-04T{each.pop('at')}", "once": f"k{n}", "by": "Ada"} | each
        for n, each in enumerate(said, 1)
    ]
    path.write_text("".join(json.dumps(each) + "\n" for each in every), "utf-8")
    return path


def test_a_plan_is_audited_in_the_light_of_what_has_happened(run: Run, tmp_path: Path) -> None:
    """What has begun is as it happened, until the last event or until now."""
    begun = {"at": "11:30", "event": "started", "batch": "b1"}
    staged = {"at": "11:49", "event": "staged", "batch": "b1"}
    told = _events(tmp_path / "told.jsonl", begun, staged)
    assert run("audit", KNOTS, KNOTS_PLAN, "--events", told)[0] == DONE
    nothing = _events(tmp_path / "nothing.jsonl")
    assert run("audit", KNOTS, KNOTS_PLAN, "--events", nothing)[0] == DONE
    status, lines, _ = run(
        "audit", KNOTS, KNOTS_PLAN, "--events", told, "--now", "2027-03-04T11:50"
    )
    assert status == BREACHES
    assert lines == [
        "before: batch b2 starts at 2027-03-04T11:49, and has not begun at 2027-03-04T11:50."
    ]


def test_events_that_are_refused_are_told_line_by_line(run: Run, tmp_path: Path) -> None:
    """The line, the value and the mend; a time now that is none is one sentence."""
    told = _events(
        tmp_path / "told.jsonl",
        {"at": "11:30", "event": "started", "batch": "b77"},
        {"at": "11:30", "event": "undone", "undoes": 5},
    )
    audit = ["audit", KNOTS, KNOTS_PLAN, "--events", told]
    status, lines, faults = run(*audit)
    assert (status, lines) == (REFUSED, [])
    assert faults[0] == 'line 1, batch: no batch "b77" in the plan; did you mean "b7"?'
    assert faults[1].startswith("line 2, undoes: 5 is the number of no event before;")
    status, lines, faults = run(*audit, "--now", "noon")
    assert (status, lines) == (FAILED, [])
    assert faults[0].startswith('--now: "noon" is no time; write a local time to the minute')
    assert "There is no file" in run(*audit[:-1], tmp_path / "none")[2][0]


def test_how_sure_a_plan_is_is_told_in_words_and_as_json(run: Run) -> None:
    """A sentence a line; as JSON the same figures, and the same again for the same seed."""
    status, told, faults = run("risk", KNOTS, KNOTS_PLAN, "--plays", "300", "--seed", "4")
    assert (status, faults) == (DONE, [])
    assert told[0].startswith("Played 300 times (seed 4; every length varies by 10 %)")
    assert any(line.startswith("The weakest link is knots-take-1") for line in told)
    status, told, _ = run("risk", KNOTS, KNOTS_PLAN, "--plays", "300", "--seed", "4", "--json")
    assert status == DONE
    risk = json.loads("\n".join(told))
    assert (risk["format"], risk["plays"], risk["seed"]) == ("risk/1", 300, 4)
    assert len(risk["uses"]) == 6
    assert run("risk", KNOTS, KNOTS_PLAN, "--plays", "300", "--seed", "4", "--json")[1] == told


def test_every_fault_of_a_refused_day_has_its_line_on_stderr(
    run: Run, document: Callable[..., Path], tmp_path: Path
) -> None:
    """Each with its place; nothing is planned."""
    day = document("knots.day.json", kind="opera", timezone="Nowhere/Land")
    status, told, faults = run("plan", day, "-o", tmp_path / "plan.json")
    assert (status, told) == (REFUSED, [])
    assert [line.split(":")[0] for line in faults] == ["kind", "timezone"]
    assert not (tmp_path / "plan.json").exists()


def test_more_than_a_hundred_faults_are_counted(
    run: Run, document: Callable[..., Path], tmp_path: Path
) -> None:
    """A hundred are told, the rest is a number."""
    day = document("knots.day.json", runs=[{"id": "x", "starts": 1}] * 300)
    status, _, faults = run("plan", day, "-o", tmp_path / "plan.json")
    assert status == REFUSED
    assert len(faults) == 101
    assert re.search(r"\d+ more", faults[-1])


def test_the_clock_that_stops_a_plan_is_named_in_it(run: Run, tmp_path: Path) -> None:
    """`--seconds` is by the clock, and the plan says so if that ended it."""
    plan = tmp_path / "plan.json"
    day = GOLDEN / "production-4-3.day.json"
    status, _, _ = run("plan", day, "-o", plan, "--seconds", "0.5")
    assert status in (DONE, UNMET)
    assert json.loads(plan.read_text("utf-8"))["stopped_by"] == "clock"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["audit", "nowhere.json", KNOTS_PLAN], "There is no file nowhere.json."),
        (["audit", GOLDEN, KNOTS_PLAN], "is a folder"),
        (["plan", KNOTS, "-o", "/nowhere/plan.json"], "There is no folder /nowhere"),
        (["plan", KNOTS, "-o", "/proc/plan.json"], "/proc/plan.json"),
        (["plan", KNOTS, "-o", GOLDEN], "is a folder"),
        (["plan", KNOTS, "-o", "p" * 300], "too long"),
        (["print", KNOTS, KNOTS_PLAN, "--paper", "board", "-o", "/dev/full"], "disk is full"),
        (["print", KNOTS, KNOTS_PLAN, "--paper", "hat", "-o", "x.pdf"], "hat"),
        (["print", KNOTS, KNOTS_PLAN, "--paper", "board", "--size", "B5", "-o", "x"], "B5"),
        (["plan", KNOTS, "-o", "x", "--seconds", "soon"], "soon"),
        (["risk", KNOTS, KNOTS_PLAN, "--plays", "0"], "'0'"),
        (["risk", KNOTS, KNOTS_PLAN, "--plays", "2000000"], "1000000"),
        (["risk", KNOTS, KNOTS_PLAN, "--plays", "1.5"], "1.5"),
        (["risk", KNOTS, KNOTS_PLAN, "--seed", "-1"], "-1"),
        (["risk", "nowhere.json", KNOTS_PLAN], "There is no file nowhere.json."),
        (["plan", KNOTS, "-o", "x", "--seconds", "-1"], "-1"),
        (["plan", KNOTS, "-o", "x", "--seconds", "nan"], "nan"),
        (["plan", KNOTS], "output"),
        (["example", "opera"], "opera"),
        (["fly"], "fly"),
        ([], "COMMAND"),
        (["serve", "--port", "70000"], "--port is '70000'"),
        (["serve", "--host", "kitchen"], "--host is 'kitchen'"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(run: Run, arguments: list[object], words: str) -> None:
    """Status 4, one line on stderr, nothing on stdout, no traceback."""
    status, told, faults = run(*arguments)
    assert (status, told) == (FAILED, [])
    assert len(faults) == 1
    assert words in faults[0]


NO_LIBRARIES = """
import cffi

def dlopen(self, name, flags=0):
    raise OSError(f"cannot load library {name!r}: {name}: no such file. Additionally, nothing.")

cffi.FFI.dlopen = dlopen
"""


def test_a_machine_that_cannot_draw_says_so_in_one_sentence(tmp_path: Path) -> None:
    """It names what to install; what the PDF maker prints by itself is kept away."""
    (tmp_path / "sitecustomize.py").write_text(NO_LIBRARIES, "utf-8")
    pdf = tmp_path / "board.pdf"
    command = ["print", KNOTS, KNOTS_PLAN, "--paper", "board", "-o", pdf]
    ended = subprocess.run(
        [sys.executable, "-m", "app", *command],
        cwd=ROOT,
        env={"PYTHONPATH": str(tmp_path), "PATH": "/usr/bin"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ended.returncode, ended.stdout) == (FAILED, "")
    (sentence,) = ended.stderr.splitlines()
    assert "apt-get install libpango" in sentence
    assert re.findall(r"\.(?= |$)", sentence) == ["."]
    assert not pdf.exists()


def test_a_file_is_replaced_whole_or_stays_as_it_was(run: Run, tmp_path: Path) -> None:
    """What stood there before a failed plan is still there, and no half file lies beside it."""
    plan = tmp_path / "plan.json"
    plan.write_text("precious", "utf-8")
    assert run("plan", tmp_path / "nowhere.json", "-o", plan)[0] == FAILED
    assert plan.read_text("utf-8") == "precious"
    assert run("plan", GOLDEN / "slack-met.day.json", "-o", plan)[0] == DONE
    assert json.loads(plan.read_text("utf-8"))["format"] == "plan/1"
    assert list(tmp_path.iterdir()) == [plan]


@pytest.mark.parametrize("command", [("example", "studio"), ("example", "class")])
def test_an_example_can_be_planned(run: Run, command: tuple[str, str], tmp_path: Path) -> None:
    """What `example` shows is a day that nothing refuses."""
    from app.exchange.dayfile import load_day

    status, told, _ = run(*command)
    assert status == DONE
    assert load_day("\n".join(told).encode()).runs


@pytest.mark.parametrize(("name", "key"), [("day", "demonstrations"), ("plan", "batches")])
def test_a_schema_is_written_for_editors(run: Run, name: str, key: str) -> None:
    """The JSON Schema of each document, on stdout."""
    status, told, _ = run("schema", name)
    assert status == DONE
    assert key in json.loads("\n".join(told))["properties"]


def test_a_file_may_have_any_name(run: Run, document: Callable[..., Path]) -> None:
    """Bytes that are no text are told as what they are, not by a traceback."""
    plan = document("knots.plan.json")
    odd = plan.rename(plan.with_name(os.fsdecode(b"pl\xffn.json")))
    status, told, faults = run("audit", KNOTS, odd)
    assert (status, faults) == (DONE, [])
    assert "pl\\udcffn.json keeps every rule." in told[0]


def test_an_output_that_nobody_takes_is_a_sentence() -> None:
    """A full disk behind stdout ends with 4, not with a traceback."""
    with open("/dev/full", "w") as full:
        ended = subprocess.run(
            [sys.executable, "-m", "app", "example", "studio"],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert ended.returncode == FAILED
    assert len(ended.stderr.splitlines()) == 1


def test_a_newcomer_finds_every_command_in_the_help(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """And each command has a help of its own."""
    for command in ("", "plan", "audit", "risk", "print", "serve", "backup", "example", "schema"):
        with pytest.raises(SystemExit) as end:
            main([*command.split(), "--help"])
        assert end.value.code == 0
        assert "usage: stagelarder" in capsys.readouterr().out
