"""Labels: what stands on them, that it has room, and that every code is read from the picture."""

import re
import subprocess
from collections import Counter
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from app.exchange.dayfile import load_plan
from app.paper.drawn import Earlier
from app.paper.label_fitting import EASY_PT, LEAST_PT, NoRoom, crowded, fitted, has_room
from app.paper.label_sheets import A4, LETTER, ROLL, SHEETS, LabelSheet, roll
from app.paper.label_texts import labels
from app.paper.labels import PAPER
from app.paper.pdf import UnknownSize
from app.planning.day import Day
from app.planning.plan import Plan
from tests.live import ROOT
from tests.paper.days import hard_day
from tests.paper.naive import naive
from tests.paper.opened import MM_A_POINT, Opened

PRINTED = "2027-03-03T18:05"
ADDRESS = "http://192.168.1.20:8000/productions/12"
DOTS_AN_INCH = 300
WORD = re.compile(r'<word xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*?)</word>')
USUAL = LabelSheet("usual", 210, 297, 7.25, 15, 3, 7, 63.5, 38.1, 2.5, 0)
OWN = LabelSheet("own", 210, 297, 7.5, 15, 3, 5, 63, 50, 2.5, 2)


def codes(pdf: bytes, folder: Path) -> Counter[str]:
    """Return what a reader of codes finds on all pages, drawn as a printer of 300 dpi does."""
    (folder / "labels.pdf").write_bytes(pdf)
    drawing = ["pdftoppm", "-r", str(DOTS_AN_INCH), "-gray", "labels.pdf", "page"]
    subprocess.run(drawing, cwd=folder, check=True)
    found: Counter[str] = Counter()
    for page in sorted(folder.glob("page-*.pgm")):
        with Image.open(page) as picture:
            read = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
        found.update(each.text for each in read)
        page.unlink()
    return found


def words_mm(pdf: bytes, folder: Path) -> list[list[tuple[float, float, float, float, str]]]:
    """Return the words of each page with their boxes, left, top, right, bottom."""
    (folder / "labels.pdf").write_bytes(pdf)
    subprocess.run(["pdftotext", "-bbox", "labels.pdf", "words.html"], cwd=folder, check=True)
    pages = (folder / "words.html").read_text("utf-8").split("<page ")[1:]
    return [
        [
            (*(float(side) * MM_A_POINT for side in sides), word)
            for *sides, word in WORD.findall(page)
        ]
        for page in pages
    ]


@pytest.mark.parametrize("sheet", [A4, LETTER, ROLL, OWN, USUAL], ids=lambda each: each.name)
def test_every_code_is_read_from_the_picture_of_its_page(
    knots_day: Day, knots_plan: Plan, tmp_path: Path, sheet: LabelSheet
) -> None:
    """As many codes as labels, each with the address of its copy."""
    drawn = PAPER.drawn(knots_day, knots_plan, PRINTED, "A4", sheet=sheet, address=ADDRESS)
    told = labels(knots_day, knots_plan, has_room=lambda label: has_room(label, sheet))
    expected = Counter(f"{ADDRESS}/copies/{each.ref}" for each in told)
    assert codes(drawn.pdf, tmp_path) == expected
    assert sum(expected.values()) == len(drawn.marks) > 12


@pytest.mark.parametrize("sheet", [A4, USUAL, roll("narrow", 62, 80)], ids=lambda each: each.name)
def test_nothing_on_a_label_is_cut_or_runs_into_the_line_below(
    example_day: Day, tmp_path: Path, sheet: LabelSheet
) -> None:
    """Every word lies on its label, above the line with the number of the plan."""
    whole = naive(example_day)
    plan = whole.model_copy(update={"copies": whole.copies[::6]})
    drawn = PAPER.drawn(example_day, plan, PRINTED, "A4", sheet=sheet, address=ADDRESS)
    for page in words_mm(drawn.pdf, tmp_path):
        for position in range(sheet.labels):
            left, top = sheet.corner_mm(position)
            right, bottom = left + sheet.label_wide_mm, top + sheet.label_high_mm
            here = [
                each for each in page if left <= each[0] < right and top - 0.5 <= each[1] < bottom
            ]
            if not here:
                continue
            foot_top = max(each[1] for each in here)
            assert [each for each in here if each[2] > right] == []
            above = [each for each in here if each[1] < foot_top - 1]
            assert [each for each in above if each[3] > foot_top + 0.8] == []
        assert [each for each in page if each[3] > sheet.sheet_high_mm] == []


def test_a_label_says_all_that_it_must(knots_day: Day, knots_plan: Plan) -> None:
    """Read off the label of the six that are revealed, against the plan."""
    told = labels(knots_day, knots_plan)
    baked = [each for each in told if each.stage == "baked"]
    assert sum(int(each.count.split()[0]) for each in baked if "copies" in each.count) <= 24
    first = baked[0]
    assert first.is_hero
    assert first.title == "Cardamom knots"
    assert first.staged.startswith("Thu 4 Mar ")
    assert (first.eat, first.why_not) == ("NOT FOR EATING", "not ready to eat")
    assert any("reveal" in each for each in first.uses)
    opened = Opened(PAPER.draw(knots_day, knots_plan, PRINTED, "A4"))
    assert opened.words.count("HERO · DO NOT TOUCH") == sum(each.is_hero for each in told)
    assert opened.words.count("NOT FOR EATING not ready to eat") == len(told)
    for each in told:
        assert each.tags in opened.words
        assert f"good until {each.good_until}" in opened.words


def test_type_is_read_in_a_fridge(knots_day: Day, knots_plan: Plan, example_day: Day) -> None:
    """On a usual sheet main words stand in 9 pt or more, none below 7; what has no room is told."""
    told = labels(knots_day, knots_plan, has_room=lambda label: has_room(label, USUAL))
    assert all(fitted(each, USUAL).type_pt >= EASY_PT == 9 for each in told)
    drawn = PAPER.drawn(knots_day, knots_plan, PRINTED, "A4", sheet=USUAL)
    assert drawn.words == ""
    opened = Opened(drawn.pdf)
    pieces = [piece for page in range(len(opened.pages)) for piece in opened.pieces(page)]
    assert min(piece.points for piece in pieces) >= LEAST_PT - 0.01 == 6.99
    for words in ("good until", "NOT FOR EATING", "HERO"):
        assert all(piece.points >= 8.99 for piece in pieces if words in piece.text)
    plan = load_plan((ROOT / "seed_demo" / "studio.plan.json").read_bytes())
    told = labels(example_day, plan, has_room=lambda label: has_room(label, USUAL))
    some = [fitted(each, USUAL) for each in told]
    small = [each for each in some if each.type_pt < EASY_PT]
    assert len(small) == 2
    words = f"2 labels in small type, {small[0].type_pt:g} pt at the least"
    assert words in crowded(some)


def test_every_copy_is_on_one_label(knots_day: Day, knots_plan: Plan) -> None:
    """Copies that share a slot have one, and a full slot is never exceeded."""
    told = labels(knots_day, knots_plan)
    on_labels = sum(int(each.count.split()[0]) if "copies" in each.count else 1 for each in told)
    assert on_labels == len(knots_plan.copies)
    assert {each.count for each in told if each.stage == "tied"} >= {"12 of 24 copies"} or any(
        "copies" in each.count for each in told
    )


def test_where_a_slot_full_has_no_room_each_copy_has_a_label(
    knots_day: Day, knots_plan: Plan
) -> None:
    """A small roll need not be refused because of those that stand together."""
    told = labels(knots_day, knots_plan)
    shared = [each for each in told if "copies" in each.count]
    apart = labels(knots_day, knots_plan, has_room=lambda label: label != shared[0])
    held = int(shared[0].count.split()[0])
    assert len(apart) == len(told) - 1 + held
    assert shared[0] not in apart
    assert all(each in apart for each in told if each != shared[0])
    assert all(has_room(each, A4) for each in told)


def test_what_a_hero_is_made_from_keeps_off_camera(knots_day: Day, knots_plan: Plan) -> None:
    """Nobody takes to set what the untouched copies are made from."""
    told = labels(knots_day, knots_plan)
    heroes = {each.ref for each in told if each.is_hero}
    before = {each.ref for each in told if each.feeds_hero}
    assert heroes
    assert before
    made_from = {
        copy
        for batch in knots_plan.batches
        if batch.stage == "baked" and heroes & {_tag(knots_plan, each) for each in batch.copies}
        for copy in batch.consumes
    }
    assert {_tag(knots_plan, each) for each in made_from} & before


def _tag(plan: Plan, id: str) -> str:
    return next(copy.tag for copy in plan.copies if copy.id == id)


def test_a_class_finds_its_bench() -> None:
    """Four benches get two copies each, in the order in which they are dealt; the teacher none."""
    day = hard_day()
    runs = [run.model_copy(update={"stations": 4}) for run in day.runs]
    day = day.model_copy(update={"runs": tuple(runs), "kind": "class"})
    plan = naive(day)
    bowls = next(use for use in plan.uses if use.run == "bowls")
    told = {each.ref: each.bench for each in labels(day, plan)}
    dealt = [told[_tag(plan, copy)] for copy in bowls.copies]
    assert dealt == [f"Bench {number}" for number in (1, 2, 3, 4) for _ in range(3)]
    single = labels(hard_day(), naive(hard_day()))
    assert {each.bench for each in single} == {""}


def test_a_sheet_begins_where_the_last_one_ended(knots_day: Day, knots_plan: Plan) -> None:
    """The first six labels of the sheet are gone: the first four places are printed on."""
    whole = PAPER.drawn(knots_day, knots_plan, PRINTED, "A4")
    begun = PAPER.drawn(knots_day, knots_plan, PRINTED, "A4", start=7)
    assert Opened(whole.pdf).pages[0].count("staged") == A4.labels
    assert Opened(begun.pdf).pages[0].count("staged") == A4.labels - 6
    assert begun.sheets >= whole.sheets


def test_only_the_labels_that_changed_are_printed(knots_day: Day, knots_plan: Plan) -> None:
    """One copy stands elsewhere: one label, and the last one says what still holds."""
    before = PAPER.drawn(knots_day, knots_plan, PRINTED, "A4")
    moved = next(copy for copy in knots_plan.copies if copy.stage == "scaled" and copy.places)
    places = (moved.places[0].model_copy(update={"slot": 99}), *moved.places[1:])
    copies = tuple(
        copy.model_copy(update={"places": places}) if copy.id == moved.id else copy
        for copy in knots_plan.copies
    )
    plan = knots_plan.model_copy(update={"copies": copies, "number": 2})
    earlier = Earlier(1, before.marks)
    opened = Opened(PAPER.drawn(knots_day, plan, PRINTED, "A4", earlier=earlier).pdf)
    assert opened.words.count("staged") == 1
    assert moved.tag in opened.words
    assert "Only what changed since plan 1" in opened.words
    assert f"{len(before.marks) - 1} labels of it still hold" in opened.words
    assert f"Throw away of plan 1: {moved.tag} scaled." in opened.words


@pytest.mark.parametrize(("sheet", "pages"), [(A4, None), (ROLL, None)], ids=["sheet", "roll"])
def test_a_page_has_the_size_of_its_sheet(
    knots_day: Day, knots_plan: Plan, sheet: LabelSheet, pages: None
) -> None:
    """On a roll each label is a page, and the last one tells of the print."""
    drawn = PAPER.drawn(knots_day, knots_plan, PRINTED, "A4", sheet=sheet)
    opened = Opened(drawn.pdf)
    assert opened.sizes_mm == {(sheet.sheet_wide_mm, sheet.sheet_high_mm)}
    assert len(opened.pages) == -(-(len(drawn.marks) + 1) // sheet.labels)
    assert f"page 1 of {len(opened.pages)}" in opened.pages[0]


def test_a_label_too_small_for_what_it_must_say_is_refused(
    knots_day: Day, knots_plan: Plan
) -> None:
    """In a sentence; nothing is left out in silence."""
    small = roll("small", 60, 20)
    assert dict(small.faults()).keys() == {"label_high_mm"}
    with pytest.raises(NoRoom, match="can't hold what must stand on"):
        PAPER.drawn(knots_day, knots_plan, PRINTED, "A4", sheet=small)


def test_a_size_without_labels_is_told(knots_day: Day, knots_plan: Plan) -> None:
    """Large sheets of labels are described by their sides."""
    with pytest.raises(UnknownSize, match="on A4, on Letter, or on a sheet of your own"):
        PAPER.drawn(knots_day, knots_plan, PRINTED, "A3")


def test_our_own_sheets_can_be_printed() -> None:
    """Every sheet that is offered keeps what it asks of others."""
    assert [list(each.faults()) for each in SHEETS.values()] == [[], [], []]


def test_a_label_says_whom_it_would_harm(knots_day: Day, knots_plan: Plan) -> None:
    """From what the day says of the people of a run and of the ingredients."""
    knots = knots_day.demonstrations[0]
    flour = {"name": "strong flour", "amount": 300, "unit": "g", "contains": ["wheat"]}
    scaled = type(knots.stages[0]).model_validate(
        knots.stages[0].model_dump(by_alias=True) | {"ingredients": [flour]}
    )
    knots = knots.model_copy(update={"stages": (scaled, *knots.stages[1:])})
    runs = [
        run.model_validate(
            run.model_dump() | {"people": [{"name": "Teo", "avoids": ["wheat"]}]}
            if run.id == "knots-take-1"
            else run.model_dump()
        )
        for run in knots_day.runs
    ]
    day = knots_day.model_copy(update={"demonstrations": (knots,), "runs": tuple(runs)})
    told = labels(day, knots_plan)
    assert {each.contains for each in told} == {"wheat"}
    baked = [each for each in told if each.stage == "baked" and "knots-take-1" in each.uses[0]]
    assert baked
    assert all(each.avoided == ("Not for Teo: wheat (avoids wheat)",) for each in baked)
    words = Opened(PAPER.draw(day, knots_plan, PRINTED, "A4")).words
    assert words.count("Not for Teo: wheat") >= len(baked)


def test_labels_are_a_tagged_paper_that_says_what_it_is_of(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Title, language, structure, the one face; plan and time on each label, the law once."""
    drawn = PAPER.drawn(knots_day, knots_plan, PRINTED, "A4")
    opened = Opened(drawn.pdf)
    assert opened.root["/Lang"] == "en"
    assert opened.root["/MarkInfo"]["/Marked"]
    assert opened.root["/StructTreeRoot"]["/K"]
    assert opened.reader.metadata is not None
    assert "Harvest hour" in str(opened.reader.metadata.title)
    assert all(opened.fonts().values())
    assert all("Hyperlegible" in name for name in opened.fonts())
    assert opened.words.count("plan 1, 3 Mar 18:05") == len(drawn.marks) + 1
    for number, words in enumerate(opened.pages, start=1):
        assert f"printed 3 March 2027, 18:05, page {number} of {len(opened.pages)}" in words
        assert "A lower plan number is void." in words
    assert opened.words.count("Local food law") == 1
    assert "nobody is checked against allergens" in opened.words
