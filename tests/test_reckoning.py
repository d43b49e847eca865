"""Kitchen sums and the larder on the command line."""

import json
from pathlib import Path

import pytest

from app.arguments import BREACHES, DONE, FAILED, REFUSED
from tests.paper.opened import Opened
from tests.test_command_line import KNOTS_PLAN, Run, run

__all__ = ["run"]
GRAMS = {"name": "bread flour", "measure_amount": 1, "measure_unit": "cup", "measure_grams": 130}


@pytest.fixture
def larder(tmp_path: Path) -> Path:
    """Return the file of a larder that knows one flour."""
    good = GRAMS | {"pack_amount": 1, "pack_unit": "kg", "price": "2.10", "place": "Dry store"}
    path = tmp_path / "larder.json"
    path.write_text(json.dumps({"format": "larder/1", "currency": "€", "goods": [good]}), "utf-8")
    return path


def test_a_sum_is_worked_out_with_its_source(run: Run) -> None:
    told = run("sum", "weigh", "amount=1 1/2", "unit=cup", "to=g", "of=bread flour")
    assert told == (
        DONE,
        ["1.5 cup of bread flour = 205.5 g", "On the scale: 206 g", "By USDA SR28 20083, cup."],
        [],
    )


def test_what_is_measured_and_not_weighed_says_so(run: Run) -> None:
    told = run("sum", "weigh", "amount=330", "unit=g", "to=cup", "of=honey")
    assert told[1][:2] == ["330 g of honey = 0.97 cup", "Measured out: 15 tbsp 1¾ tsp"]


def test_a_table_comes_as_lines_with_tabs(run: Run) -> None:
    status, lines, _ = run("sum", "formula", "pieces=73", "parts=flour 100;water 67;salt 3")
    assert status == DONE
    assert lines[1:3] == ["Part\tOf the flour\tWeighs", "flour\t100 %\t16.745 kg"]


def test_every_sum_is_listed_with_its_fields(run: Run) -> None:
    status, lines, _ = run("sum")
    assert status == DONE
    assert any(line.startswith("water: Water for a dough’s temperature.") for line in lines)


def test_the_houses_own_weights_are_read(run: Run, larder: Path) -> None:
    status, lines, _ = run("sum", "weigh", "amount=1", "unit=cup", "--larder", larder)
    assert (status, lines[0]) == (DONE, "1 cup of bread flour = 130 g")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["gravity"], "There is no sum 'gravity'; there are weigh,"),
        (["weigh", "grams=3"], "'grams=3' is no field; weigh has of, amount, unit, to."),
        (["weigh", "amount=lots"], "amount: A number such as 2.5 or 1 1/2, not lots."),
        (["weigh", "of=yak"], "of: Not known: what a cup of yak weighs."),
        (["weigh", "of=yak", "unit=tbsp."], "of: Not known: what a tablespoon of yak weighs."),
        (["weigh", "of=yak", "unit=cloves"], "of: Not known: what a clove of yak weighs."),
    ],
)
def test_what_cannot_be_worked_out_is_a_sentence(run: Run, given: list[str], said: str) -> None:
    status, lines, errors = run("sum", *given)
    assert (status, lines) == (FAILED, [])
    assert errors[0].startswith(said)


@pytest.fixture
def floury(golden: object, tmp_path: Path) -> Path:
    """Return the knots with bread flour in their first stage."""
    day = json.loads((KNOTS_PLAN.parent / "knots.day.json").read_text("utf-8"))
    told = {"name": "bread flour", "amount": 3, "unit": "cup"}
    day["demonstrations"][0]["stages"][0]["ingredients"] = [told]
    path = tmp_path / "floury.day.json"
    path.write_text(json.dumps(day), "utf-8")
    return path


def test_a_shopping_list_is_printed_with_the_larder(
    run: Run, floury: Path, larder: Path, tmp_path: Path
) -> None:
    """Five doughs of 3 cups at 130 g are 1.95 kg: two packs, 4.20."""
    plan = json.loads(KNOTS_PLAN.read_text("utf-8"))
    plan.pop("day", None)
    planned, pdf = tmp_path / "plan.json", tmp_path / "shop.pdf"
    planned.write_text(json.dumps(plan), "utf-8")
    command = ["print", floury, planned, "--paper", "shopping", "-o", pdf]
    assert run(*command)[0] == DONE
    assert "3 qt 1 pt 1 c" in Opened(pdf.read_bytes()).words
    assert run(*command, "--larder", larder)[0] == DONE
    assert "2 × 1 kg" in Opened(pdf.read_bytes()).words
    assert "€ 4.20" in Opened(pdf.read_bytes()).words


def test_several_days_are_shopped_for_at_once(run: Run, floury: Path, tmp_path: Path) -> None:
    """The same day twice takes twice as much: thirty cups."""
    plan = json.loads(KNOTS_PLAN.read_text("utf-8"))
    plan.pop("day", None)
    planned, pdf = tmp_path / "plan.json", tmp_path / "shop.pdf"
    planned.write_text(json.dumps(plan), "utf-8")
    command = ["print", floury, planned, "--also", floury, planned, "-o", pdf]
    assert run(*command, "--paper", "shopping")[0] == DONE
    assert "1 gal 3 qt 1 pt" in Opened(pdf.read_bytes()).words
    status, _, errors = run(*command, "--paper", "board")
    assert (status, errors) == (FAILED, ["--also is for shopping, not for board."])
    broken = plan | {"batches": plan["batches"][1:]}
    (tmp_path / "broken.json").write_text(json.dumps(broken), "utf-8")
    command[4:6] = [floury, tmp_path / "broken.json"]
    assert run(*command, "--paper", "shopping")[0] == BREACHES


def test_a_larder_that_is_none_is_refused(run: Run, floury: Path, tmp_path: Path) -> None:
    command = ["print", floury, KNOTS_PLAN, "--paper", "shopping", "-o", tmp_path / "x.pdf"]
    status, _, errors = run(*command, "--larder", floury)
    assert status == REFUSED
    assert errors
    board = [*command[:4], "board", *command[5:], "--larder", floury]
    assert run(*board)[0] in {FAILED, REFUSED}
