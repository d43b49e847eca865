"""A day as .xlsx and .csv: what a person reads there, and nothing lost on the way back."""

import csv
import io
import random
import re
import zipfile
from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from app.exchange.cells import FORMS
from app.exchange.dayfile import load_day
from app.exchange.outgoing import day_of_one
from app.exchange.separated import dump_separated
from app.exchange.sheets import Sheet
from app.exchange.spreadsheet import day_of_sheets, load_sheets, sheets_of
from app.exchange.workbook import dump_workbook
from app.planning.canonical import canonical, document
from app.planning.day import Day
from app.planning.reading import Refused, read_day, read_unfinished_day
from tests.random_days import tiny_day
from tests.rich_days import rich_days
from tests.storage.rich_day import RICH

WRITERS = {"xlsx": dump_workbook, "csv": dump_separated}


def _there_and_back(day: Day, kind: str, read: Callable[[object], Day] = read_day) -> Day:
    return day_of_sheets(load_sheets(WRITERS[kind](sheets_of(day))), read)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rich_days())
def test_a_round_trip_loses_nothing(day: Day) -> None:
    """Whatever words, numbers, lists and times a day holds, both forms give it back."""
    for kind in WRITERS:
        assert canonical(_there_and_back(day, kind)) == canonical(day)


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rich_days())
def test_a_round_trip_of_one_demonstration_loses_nothing(day: Day) -> None:
    """It goes out alone with what it is made from, and comes back as it was, whichever it is."""
    for shown in day.demonstrations:
        alone = day_of_one(day, shown.id)
        for kind in WRITERS:
            back = _there_and_back(alone, kind)
            assert canonical(back) == canonical(alone)
            assert back.demonstrations[-1] == shown
            assert set(back.demonstrations) <= set(day.demonstrations)
            _takes_only_what_came_along(back)


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rich_days(), st.data())
def test_a_production_in_the_making_loses_nothing_either(day: Day, data: st.DataObject) -> None:
    """Stages without a way, ways without a step, an empty kitchen: no plan yet, but all is kept."""
    told = document(day)
    for shown in told["demonstrations"]:
        for stage in shown["stages"]:
            left = data.draw(st.sampled_from(["all", "no way", "no step"]))
            if left == "no way":
                stage["ways"] = []
            for way in stage.get("ways", ()) if left == "no step" else ():
                way["phases"] = []
    for name in ("crew", "equipment", "shelves"):
        if data.draw(st.booleans()):
            told["kitchen"][name] = []
    begun = read_unfinished_day(told)
    assert load_day(canonical(begun), read_unfinished_day) == begun
    for kind in WRITERS:
        assert canonical(_there_and_back(begun, kind, read_unfinished_day)) == canonical(begun)


def _takes_only_what_came_along(day: Day) -> None:
    here = {each.id for each in day.demonstrations}
    for _, stage in day.all_stages():
        ways = [way.takes for way in stage.ways if way.takes is not None]
        for entry in (entry for entries in (stage.takes, *ways) for entry in entries):
            assert entry.demonstration is None or entry.demonstration in here


@pytest.mark.parametrize("kind", WRITERS)
def test_tiny_days_come_back(kind: str) -> None:
    """Generated days use every field of the planner."""
    for seed in random.Random(5).sample(range(100_000), 40):
        day = read_day(tiny_day(seed))
        assert canonical(_there_and_back(day, kind)) == canonical(day), seed


@pytest.mark.parametrize("kind", WRITERS)
def test_every_field_has_its_column(kind: str) -> None:
    """A day that says everything, nothing of it the usual."""
    day = read_day(RICH)
    assert canonical(_there_and_back(day, kind)) == canonical(day)


@pytest.mark.parametrize("kind", WRITERS)
@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.text(st.characters(exclude_categories=["Cs"]), max_size=8), max_size=3))
def test_any_text_comes_back(kind: str, words: list[str]) -> None:
    """Blanks, quotes, line ends, what XML cannot hold, what looks like an escape or a list."""
    for each in [*words, "_x000D_", '"', "x005F_", "'=", "[", "a\r\nb", "  "]:
        told = (FORMS["text"][0](each), FORMS["texts"][0]([each, *words]), "end")
        (sheet,) = load_sheets(WRITERS[kind]([Sheet("S", (("A", "B", "C"), told))]))
        row = sheet.rows[1]
        assert FORMS["text"][1](row[0]) == each
        assert FORMS["texts"][1](row[1]) == [each, *words]


def test_no_cell_is_a_formula() -> None:
    """A text that starts like one stays a text, in both forms, and comes back as it was."""
    texts = ("=1+1", "+49", "-1 dl", "@home", "=HYPERLINK(1)", "'=x")
    sheet = Sheet("S", (("A",), *((text,) for text in texts)))
    packed = zipfile.ZipFile(io.BytesIO(dump_workbook([sheet])))
    written = packed.read("xl/worksheets/sheet1.xml").decode()
    assert "<f>" not in written
    assert all(f"<t>{text}</t>" in written for text in texts)
    lines = dump_separated([sheet]).decode("utf-8-sig").splitlines()
    assert lines[1:] == ["'=1+1", "'+49", "'-1 dl", "'@home", "'=HYPERLINK(1)", "''=x"]
    for writer in WRITERS.values():
        assert load_sheets(writer([sheet]))[0].rows[1:] == sheet.rows[1:]


def test_a_formula_shows_what_it_last_did_and_else_itself() -> None:
    """A file from a program that never reckoned it: nothing of it vanishes unsaid."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (["Minutes", "Cost"], ["=30+15", "=0.5*3"], [None, 2]):
        sheet.append(row)
    written = io.BytesIO()
    book.save(written)
    (read,) = load_sheets(written.getvalue())
    assert read.rows == (("Minutes", "Cost"), ("=30+15", "=0.5*3"), (None, 2))
    shown = io.BytesIO()
    with zipfile.ZipFile(written) as packed, zipfile.ZipFile(shown, "w") as kept:
        for name in packed.namelist():
            text = packed.read(name).replace(b"<f>30+15</f><v />", b"<f>30+15</f><v>45</v>")
            kept.writestr(name, text)
    (read,) = load_sheets(shown.getvalue())
    assert read.rows[1] == (45, "=0.5*3")


def test_csv_keeps_to_its_rules() -> None:
    """RFC 4180: lines end in CRLF and have as many fields each; quotes are doubled."""
    written = dump_separated(sheets_of(read_day(RICH)))
    assert written.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(io.StringIO(written.decode("utf-8-sig"), newline=""), strict=True))
    assert len({len(row) for row in rows}) == 1
    bare = re.sub(r'"[^"]*"', "", written.decode("utf-8-sig"))
    assert bare.count("\n") == bare.count("\r\n") > 10


@pytest.mark.parametrize(
    "data",
    [
        "Dish;Step\nTart;„bake“\n".encode("utf-8-sig"),
        "Dish\tStep\r\nTart\t„bake“\r\n".encode("utf-16"),
        "Dish,Step\r\nTart,„bake“\r\n".encode("cp1252"),
        '"Dish";"Step"\nTart;"„bake“"\n'.encode(),
    ],
)
def test_csv_of_other_programs_is_read(data: bytes) -> None:
    """Semicolons, tabs, marks, the encodings of office programs."""
    (sheet,) = load_sheets(data)
    assert sheet.rows == (("Dish", "Step"), ("Tart", "„bake“"))


def test_what_somebody_typed_is_understood() -> None:
    """Columns in another order, capitals, decimal commas, a number where a name stands."""
    sheets = {sheet.name: sheet for sheet in sheets_of(read_day(RICH))}
    heads, *rows = sheets["Stages"].rows
    at = heads.index("Loss")
    turned = [tuple(reversed([*row[:at], "0,25", *row[at + 1 :]])) for row in rows]
    sheets["Stages"] = Sheet("Stages", (tuple(str(head).upper() for head in heads[::-1]), *turned))
    day = day_of_sheets(list(sheets.values()))
    assert {stage.loss for _, stage in day.all_stages()} == {0.25}


def test_faults_are_told_by_sheet_and_row() -> None:
    """Whoever edits a spreadsheet knows rows, not places of a document."""
    sheets = {sheet.name: sheet for sheet in sheets_of(read_day(RICH))}
    heads, first, *rest = sheets["Stages"].rows
    at = heads.index("Keeps (min)")
    broken = (*first[:at], "long", *first[at + 1 :])
    sheets["Stages"] = Sheet("Stages", (heads, broken, *rest))
    with pytest.raises(Refused) as refused:
        day_of_sheets(list(sheets.values()))
    assert refused.value.faults[0].place == "Stages, row 2, keeps_min"
    sheets["Stages"] = Sheet("Stages", ((*heads, "Kepes (min)"), ("nobody", *first[1:]), *rest))
    sheets["Way"] = Sheet("Way", ())
    with pytest.raises(Refused) as refused:
        day_of_sheets(list(sheets.values()))
    told = [str(fault) for fault in refused.value.faults]
    assert 'Way: no such sheet; did you mean "Ways"?' in told
    assert any(each.startswith('Stages, column "Kepes (min)": did you mean') for each in told)
    assert any(each.startswith('Stages, row 2: "nobody" is in no row before') for each in told)


def test_nothing_that_somebody_added_is_passed_over() -> None:
    """A sheet or a production twice, a cell beside the columns: told, since it would be lost."""
    sheets = sheets_of(read_day(RICH))
    production, *rest = sheets
    twice = Sheet(production.name, (*production.rows, production.rows[1]))
    stages = next(sheet for sheet in rest if sheet.name == "Stages")
    heads, first, *others = stages.rows
    beside = Sheet("Stages", (heads, (*first, None, "mine"), *others))
    cases = {
        "this sheet stands twice": [*sheets, stages],
        "a file holds one production": [twice, *rest],
        '"mine" stands in a column without a name': [
            beside if sheet is stages else sheet for sheet in sheets
        ],
    }
    for words, given_sheets in cases.items():
        with pytest.raises(Refused, match=words):
            day_of_sheets(given_sheets)
