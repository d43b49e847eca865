"""`stagelarder print`: every paper, what changed since an earlier plan, and labels of any size."""

import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app.__main__ import main
from app.arguments import DONE, FAILED
from tests.live import GOLDEN
from tests.paper.opened import Opened

KNOTS, KNOTS_PLAN = GOLDEN / "knots.day.json", GOLDEN / "knots.plan.json"
Print = Callable[..., tuple[int, str]]


@pytest.fixture
def draw(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Print:
    """Return a runner of the command: its status, and all that it said."""

    def ended(*more: object, plan: Path = KNOTS_PLAN) -> tuple[int, str]:
        given = ["print", KNOTS, plan, "-o", tmp_path / "paper.pdf", *more]
        # A command that fails closes stdout, as the last thing before the process ends.
        with monkeypatch.context() as patch, open(os.dup(1), "w", encoding="utf-8") as stdout:
            patch.setattr(sys, "stdout", stdout)
            status = main([str(each) for each in given])
        said = capfd.readouterr()
        return status, said.out + said.err

    return ended


@pytest.fixture
def second(golden: Callable[[str], Any], tmp_path: Path) -> Path:
    """Return the file of the same plan under the next number."""
    path = tmp_path / "second.json"
    path.write_text(json.dumps(golden("knots.plan.json") | {"number": 2}), "utf-8")
    return path


@pytest.mark.parametrize("paper", ["runsheet", "breakdown"])
def test_a_paper_is_printed(draw: Print, tmp_path: Path, paper: str) -> None:
    """On Letter as well."""
    assert draw("--paper", paper, "--size", "letter") == (DONE, "")
    assert "page 1 of" in Opened((tmp_path / "paper.pdf").read_bytes()).words


def test_only_what_changed_since_an_earlier_plan(draw: Print, second: Path, tmp_path: Path) -> None:
    """The same plan under a higher number: a list that says to keep all."""
    assert draw("--paper", "shelves", "--since", KNOTS, KNOTS_PLAN, plan=second) == (DONE, "")
    opened = Opened((tmp_path / "paper.pdf").read_bytes())
    assert len(opened.pages) == 1
    assert "nothing of this paper changed" in opened.words


def test_a_plan_that_is_not_older_is_told(draw: Print) -> None:
    """Nothing can have changed since."""
    status, said = draw("--paper", "shelves", "--since", KNOTS, KNOTS_PLAN)
    assert status == FAILED
    assert "plan 1 is not older than plan 1" in said


def test_a_kitchen_reads_its_own_degrees(draw: Print, tmp_path: Path) -> None:
    """The deck oven bakes at 200 °C, 392 °F, as ovens are set: 390. Not told, papers say °C."""
    for paper in ("board", "pulls", "breakdown"):
        assert draw("--paper", paper, "--degrees", "fahrenheit") == (DONE, "")
        assert "390 °F (200 °C)" in Opened((tmp_path / "paper.pdf").read_bytes()).words
    assert draw("--paper", "board", "--degrees", "celsius") == (DONE, "")
    words = Opened((tmp_path / "paper.pdf").read_bytes()).words
    assert "light deck-oven to 200 °C" in words
    assert "°F" not in words


def test_clocks_count_by_the_limits_of_another_law(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Out of the oven at 13:53: 4 h by the FDA Food Code 3-501.19, once 2 h by SI 2013/2996."""
    document = json.loads(KNOTS.read_text("utf-8"))
    baked = document["demonstrations"][0]["stages"][-1]
    baked |= {"ready_to_eat": True, "needs_temperature_control": True, "safety_min": 600}
    day, plan, paper = (tmp_path / each for each in ("day.json", "plan.json", "paper.pdf"))
    day.write_text(json.dumps(document), "utf-8")
    assert main(["plan", str(day), "-o", str(plan)]) == DONE
    more = [str(day), str(plan), "--paper", "labels", "-o", str(paper)]
    for law, until in (("us", "17:53"), ("uk", "15:53")):
        assert main(["print", *more, "--limits", law]) == DONE
        assert (
            f"Safe to eat until {until}, time as control {until}"
            in Opened(paper.read_bytes()).words
        )
    capfd.readouterr()


def test_labels_come_on_a_roll_or_on_a_sheet_of_any_size(draw: Print, tmp_path: Path) -> None:
    """A roll is given by its label alone; a sheet by its sides, its grid and its label."""
    address = ["--address", "http://10.0.0.7:8000/productions/3"]
    assert draw("--paper", "labels", "--label-mm", "100x62", *address) == (DONE, "")
    opened = Opened((tmp_path / "paper.pdf").read_bytes())
    assert opened.sizes_mm == {(100.0, 62.0)}
    sheet = ["--sheet-mm", "210x148", "--grid", "2x2", "--label-mm", "95X60", "--gap-mm", "4x4"]
    more = ["--margin-mm", "8x10", "--start", "3"]
    assert draw("--paper", "labels", *sheet, *more, *address) == (DONE, "")
    opened = Opened((tmp_path / "paper.pdf").read_bytes())
    assert opened.sizes_mm == {(210.0, 148.0)}
    assert opened.pages[0].count("staged") == 2


def test_labels_without_an_address_say_where_they_lead(draw: Print) -> None:
    """Nobody should find out in the kitchen that the codes open nothing."""
    status, said = draw("--paper", "labels")
    assert status == DONE
    assert "The codes lead to http://127.0.0.1:8000/productions/1" in said


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--label-mm", "62"], "not two lengths in mm"),
        (["--grid", "2x0", "--label-mm", "95x60"], "not two counts"),
        (["--grid", "2x2", "--label-mm", "95x60"], "needs --sheet-mm, --grid and --label-mm"),
        (["--gap-mm", "2x2"], "needs --sheet-mm, --grid and --label-mm"),
        (["--label-mm", "30x20"], "needs 60 mm across"),
        (
            ["--sheet-mm", "100x100", "--grid", "2x1", "--label-mm", "95x60"],
            "90 mm wider than the sheet",
        ),
        (["--start", "0"], "no number of a label"),
        (["--size", "A3"], "on A4, on Letter"),
    ],
)
def test_labels_that_cannot_be_are_told_in_a_sentence(
    draw: Print, more: list[str], words: str
) -> None:
    """What to give instead stands in it."""
    status, said = draw("--paper", "labels", *more)
    assert status == FAILED
    assert words in said
    assert len(said.splitlines()) == 1
