"""The prep board: every row of work once, in large times, never cut."""

import json
import re
from collections.abc import Iterator
from itertools import pairwise

import pytest

from app.exchange.dayfile import load_day, load_plan
from app.paper import board
from app.paper.board_notes import bearing
from app.paper.jobs import jobs, together
from app.paper.lines import Line
from app.paper.pdf import sheet
from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import tasks
from seed_demo import example
from tests.live import ROOT
from tests.paper.days import hard_day
from tests.paper.naive import naive
from tests.paper.opened import Opened

PRINTED = "2027-03-03T18:05"
HOUR = re.compile(r"\d\d:\d\d")


@pytest.fixture(scope="module")
def knots(knots_day: Day, knots_plan: Plan) -> Opened:
    """Return the board of the knots day on A4."""
    return Opened(board.draw(knots_day, knots_plan, PRINTED, "A4"))


@pytest.fixture(scope="module")
def example_plan() -> Plan:
    """Return the plan that comes with the example."""
    return load_plan((ROOT / "seed_demo" / "studio.plan.json").read_bytes())


@pytest.fixture(scope="module")
def hard() -> Opened:
    """Return the board of two hard days on A4."""
    day = hard_day()
    return Opened(board.draw(day, naive(day), PRINTED, "A4"))


def test_every_row_of_work_stands_on_the_board(
    knots: Opened, knots_day: Day, knots_plan: Plan
) -> None:
    """What to do, when, until when: each row of the plan, each heat, what food does by itself."""
    clock = Clock(knots_day.timezone)
    for job in jobs(tasks(knots_day, knots_plan)):
        assert job.task.does in knots.words
        said = f"{clock.hour(job.starts)} (until|ready|hot by) {clock.hour(job.task.ends)}"
        assert re.search(said, knots.words)
        for task in job.then:
            assert re.search(f"then (until|ready) {clock.hour(task.ends)}", knots.words)
            assert task.does in knots.words


def test_the_board_says_which_oven_to_light_when(knots: Opened) -> None:
    """The deck oven comes from cold in 15 minutes and is used at 13:36 (the plan's `heats`).

    A heat is a reminder, as on the screens: it has no box to tick.
    """
    assert "reminder 13:21 hot by 13:36 light deck-oven to 200 °C" in knots.words
    assert knots.words.count("reminder") == 1


def test_every_time_of_work_is_eighteen_points_or_more(hard: Opened) -> None:
    """Times are read at arm's length; only the foot's print time is small."""
    for page in range(len(hard.pages)):
        times = [piece for piece in hard.pieces(page) if HOUR.search(piece.text)]
        times = [piece for piece in times if "printed" not in piece.text]
        assert times
        assert all(piece.points >= 17.99 for piece in times)


def test_a_long_day_goes_on_with_its_heads(example_day: Day, example_plan: Plan) -> None:
    """Each of its pages bears the date, those at work with their hours, and who has nothing."""
    found = board.pages(example_day, example_plan, sheet("A4"))
    opened = Opened(board.draw(example_day, example_plan, PRINTED, "A4"))
    printed = [words for words in opened.pages if "May 2027" in words]
    assert len(printed) == len(found)
    for page, words in zip(found, printed, strict=True):
        assert page.date in words
        for column in page.columns:
            assert " ".join((column.name, *column.hours)) in words
        assert not page.idle or "Nothing on this page for " in words


def test_a_day_takes_few_sheets(example_day: Day, example_plan: Plan) -> None:
    """A hundred and more rows of work stand on four of A4 at the most, on two of A3."""
    for size, most in (("A4", 4), ("letter", 5), ("tabloid", 3), ("A3", 2)):
        dates = [page.date for page in board.pages(example_day, example_plan, sheet(size))]
        assert max(dates.count(date) for date in dates) <= most


def test_an_ordinary_day_takes_one_sheet(knots_day: Day, knots_plan: Plan) -> None:
    """A class, or one demonstration with two takes, has a page a day."""
    day = load_day(example("class"))
    for size in ("tabloid", "A3"):
        found = board.pages(day, naive(day), sheet(size))
        assert len(found) == len({page.date for page in found})
    assert len(board.pages(knots_day, knots_plan, sheet("A4"))) == 1


def test_a_sentence_ends_before_the_next_one(example_day: Day, example_plan: Plan) -> None:
    """Also where a step has no words of its own."""
    bare = _without_words(example_day)
    opened = Opened(board.draw(bare, example_plan, PRINTED, "A3"))
    assert re.search(r"step\d+\.By", "".join(opened.words.split()))
    assert not re.search(r"step\d+By", "".join(opened.words.split()))


def _without_words(day: Day) -> Day:
    document = json.loads(day.model_dump_json(by_alias=True))
    for dish in document["demonstrations"]:
        for stage in dish["stages"]:
            for phase in (phase for way in stage.get("ways", ()) for phase in way["phases"]):
                phase.pop("does", None)
    return Day.model_validate(document)


def test_no_page_is_overfull(example_day: Day, example_plan: Plan) -> None:
    """What is reckoned to fit on a page does: as many are drawn, and one for the warnings."""
    for size in ("A4", "tabloid"):
        found = board.pages(example_day, example_plan, sheet(size))
        opened = Opened(board.draw(example_day, example_plan, PRINTED, size))
        assert len(found) <= len(opened.pages) <= len(found) + 1


def test_what_the_same_hands_do_next_to_a_batch_stands_in_its_row(
    example_day: Day, example_plan: Plan
) -> None:
    """Only where nothing else has begun for them meanwhile, so that times run down a column."""
    found = jobs(tasks(example_day, example_plan))
    chained = [job for job in found if any(task.kind == "hands" for task in job.then)]
    assert chained
    for job in chained:
        for before, task in pairwise((job.task, *job.then)):
            assert (before.batch, before.ends) == (task.batch, task.starts)
            between = [
                each for each in found if job.starts < each.starts < task.starts and task.crew
            ]
            assert not any(set(each.task.crew) & set(task.crew) for each in between)


def test_batches_of_which_the_same_is_told_share_a_row(
    example_day: Day, example_plan: Plan
) -> None:
    """Each of them has its own box; nobody's hands are in two at once."""
    every = jobs(tasks(example_day, example_plan))
    found = together(every)
    assert len(found) < len(every)
    assert sum(1 + len(job.beside) for job in found) == len(every)
    for job in found:
        for other in job.beside:
            assert not other.task.crew
            assert (other.starts, other.ends, other.task.does) == (
                job.starts,
                job.ends,
                job.task.does,
            )


def test_columns_are_as_wide_as_their_work_asks_for() -> None:
    """Whoever has more to do has more room, and all of them fill the sheet."""
    day = hard_day()
    for page in board.pages(day, naive(day), sheet("A3")):
        whole_mm = sum(column.wide_mm for column in page.columns)
        left_mm = sheet("A3").high_mm - board.EDGES_MM - page.setting.time_mm
        assert left_mm - len(page.columns) <= whole_mm <= left_mm
        assert all(column.wide_mm >= board.COLUMN_MM for column in page.columns)


def test_no_row_is_cut() -> None:
    """Each task of two hard days begins and ends on the same page, on every size."""
    day = hard_day()
    plan = naive(day)
    for size in ("A4", "letter"):
        words = Opened(board.draw(day, plan, PRINTED, size)).pages
        for page in board.pages(day, plan, sheet(size)):
            for line in _lines(page):
                starts, ends = line.starts, f"{line.ends} {line.until}"
                assert any(starts in page and ends in page for page in words)
        for each in words:
            assert len(re.findall(r"(until|ready|hot by) (Thu )?\d\d:\d\d", each)) > 0


def _lines(page: board.Page) -> Iterator[Line]:
    for row in page.rows:
        for cell in row.cells:
            for track in cell:
                yield from track


def test_each_day_has_pages_of_its_own(hard: Opened) -> None:
    """No page bears two dates."""
    dates = ["Wednesday 3 March 2027", "Thursday 4 March 2027"]
    assert all(sum(date in words for date in dates) == 1 for words in hard.pages)


def test_a_night_is_told_on_both_days(hard: Opened) -> None:
    """The overnight rest ends on Thursday and is still there in the morning."""
    wednesday = " ".join(words for words in hard.pages if "Wednesday 3 March" in words)
    thursday = " ".join(words for words in hard.pages if "Thursday 4 March" in words)
    assert "ready Thu 13:01" in wednesday
    assert "Still from the day before" in thursday
    assert "Wed 22:01" in thursday


def test_forty_eight_copies_are_one_task(hard: Opened) -> None:
    """The tags of a batch are told as a span."""
    assert "WR-49 to WR-96, 48 copies" in hard.words


def test_two_who_work_together_read_of_each_other(hard: Opened) -> None:
    """A phase for two hands names the other in both columns."""
    assert "With Cook 2." in hard.words
    assert "With Cook 3." in hard.words


def test_more_people_than_fit_across_go_on_another_page() -> None:
    """Nine people on A4 take two pages a day, on A3 none is wider than it must."""
    day = hard_day(cooks=9)
    plan = naive(day)
    small, large = (board.pages(day, plan, sheet(size)) for size in ("A4", "A3"))
    assert max(len(page.columns) + len(page.idle) for page in small) == 5
    assert {page.part for page in small} == {"people 1 of 2", "people 2 of 2"}
    assert max(len(page.columns) for page in large) <= 8
    names = {column.name for page in small for column in page.columns}
    names |= {name for page in small for name in page.idle}
    assert len(names) == 9


def test_a_run_stands_in_its_hour(knots: Opened) -> None:
    """Whoever preps sees when the cameras roll."""
    assert "14:00 knots-take-1" in knots.words
    assert "15:30 knots-take-2" in knots.words


def test_warnings_stand_on_a_page_that_has_room(knots_day: Day, knots_plan: Plan) -> None:
    """On the last one, else on the first that has; on one of their own only where none has."""
    assert bearing([90.0, 10.0, 40.0], 30) == 2
    assert bearing([20.0, 50.0, 10.0], 30) == 1
    assert bearing([20.0, 20.0], 30) == 2
    for count in (0, 3, 9, 12):
        warned = knots_plan.model_copy(update={"warnings": ("Mind it well.",) * count})
        found = board.pages(knots_day, warned, sheet("A4"))
        opened = Opened(board.draw(knots_day, warned, PRINTED, "A4"))
        assert len(found) <= len(opened.pages) <= len(found) + 1
        page = next(words for words in opened.pages if "Local food law" in words)
        assert page.count("Mind it well.") == count


def test_warnings_of_the_plan_are_printed(knots_day: Day, knots_plan: Plan) -> None:
    """What to watch is told; what is too much is counted."""
    warned = knots_plan.model_copy(update={"warnings": tuple(f"Mind {n}." for n in range(15))})
    words = Opened(board.draw(knots_day, warned, PRINTED, "A4")).words
    assert "Watch closely" in words
    assert "Mind 11." in words
    assert "And 3 more" in words
