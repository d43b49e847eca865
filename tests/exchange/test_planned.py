"""Plans, counts and pull lists as sheets: what stands in them is what stands in the plan."""

from collections.abc import Callable
from typing import Any

from app.exchange.planned import sheets_of_count, sheets_of_plan, sheets_of_pulls
from app.exchange.separated import dump_separated
from app.exchange.sheets import Sheet
from app.exchange.spreadsheet import load_sheets
from app.exchange.workbook import dump_workbook
from app.planning.day import Day
from app.planning.plan import Plan


def _rows(sheets: list[Sheet], name: str) -> list[dict[str, Any]]:
    (sheet,) = [each for each in sheets if each.name == name]
    heads = [str(head) for head in sheet.rows[0]]
    return [dict(zip(heads, row, strict=True)) for row in sheet.rows[1:]]


def test_a_plan_tells_each_batch_copy_and_use(knots_day: Day, knots_plan: Plan) -> None:
    """A row each, with the ids that the plan file has."""
    sheets = sheets_of_plan(knots_day, knots_plan)
    assert [row["Batch"] for row in _rows(sheets, "Batches")] == [b.id for b in knots_plan.batches]
    copies = _rows(sheets, "Copies")
    assert [row["Tag"] for row in copies] == [copy.tag for copy in knots_plan.copies]
    phases = sum(len(batch.phases) for batch in knots_plan.batches)
    assert len(_rows(sheets, "Batch phases")) == phases
    (head,) = _rows(sheets, "Plan")
    assert (head["cost"], head["No plan below: cost"]) == (48, 48)


def test_a_count_tells_what_the_screen_tells(knots_day: Day, knots_plan: Plan) -> None:
    """The same numbers, and the same sum in words."""
    rows = _rows(sheets_of_count(knots_day, knots_plan), "Count")
    assert [(row["Stage"], row["Made"], row["Why"]) for row in rows] == [
        (count.stage, count.made, count.why or None) for count in knots_plan.counts
    ]


def test_a_pull_list_scales_the_ingredients(example_day: Day, golden: Callable[[str], Any]) -> None:
    """By batch, as numbers that a spreadsheet can add up."""
    from app.exchange.dayfile import load_plan
    from seed_demo import __path__ as folder

    with open(f"{folder[0]}/studio.plan.json", "rb") as file:
        plan = load_plan(file.read())
    sheets = sheets_of_pulls(example_day, plan)
    flour = [
        row for row in _rows(sheets, "Ingredients")
        if row["Demonstration"] == "plait" and row["Ingredient"] == "strong white wheat flour"
    ]  # fmt: skip
    made = sum(count.made for count in plan.counts
               if (count.demonstration, count.stage) == ("plait", "weighed"))  # fmt: skip
    assert sum(row["Amount"] for row in flour) == 500 * made
    assert len(_rows(sheets, "By beat")) > 20


def test_both_forms_hold_the_same(knots_day: Day, knots_plan: Plan) -> None:
    """What is written as .xlsx and as .csv reads back as the same cells."""
    sheets = sheets_of_plan(knots_day, knots_plan)
    books = load_sheets(dump_workbook(sheets))
    texts = load_sheets(dump_separated(sheets))
    assert [sheet.name for sheet in books] == [sheet.name for sheet in texts]
    for book, text in zip(books, texts, strict=True):
        said = [tuple(None if c is None else str(c) for c in row) for row in book.rows]
        assert said == [row for row in text.rows if row]
