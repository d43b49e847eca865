"""What a mended plan of the studio example has printed anew: what it changed, and no more."""

from dataclasses import asdict

import pytest

from app.exchange.dayfile import load_plan
from app.paper import board
from app.paper.board_columns import whole_hours
from app.paper.changes import changes
from app.paper.drawn import Earlier
from app.paper.label_texts import Label, labels
from app.paper.labels import PAPER as LABELS
from app.paper.pdf import sheet
from app.planning.day import Day
from app.planning.events import Moved
from app.planning.mending import mend
from app.planning.plan import Plan
from app.planning.replan import Mended, replan
from tests.live import ROOT
from tests.paper.opened import Opened

EVE, FIRST, LATER = "2027-05-12T12:00", "2027-05-11T18:05", "2027-05-12T12:02"


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the plan that comes with the example."""
    return load_plan((ROOT / "seed_demo" / "studio.plan.json").read_bytes())


@pytest.fixture(scope="module")
def mended(example_day: Day, plan: Plan) -> Mended:
    """Return the example mended on the eve: a take of the tart starts 15 min later."""
    told = {"event": "moved", "run": "tart-take-1", "starts": "2027-05-13T11:45"}
    moved = Moved.model_validate(told | {"n": 1, "at": EVE, "once": "1", "by": "Ada"})
    return replan(example_day, plan, [moved], EVE, mend)


def by_name(told: list[Label]) -> dict[tuple[str, str], Label]:
    """Return labels by their tags and stage."""
    return {(each.tags, each.stage): each for each in told}


def said(label: Label) -> dict[str, object]:
    """Return what a label says, but for the number of copies in all."""
    return {name: value for name, value in asdict(label).items() if name != "count"}


def test_labels_of_other_words_alone_are_printed(
    example_day: Day, plan: Plan, mended: Mended
) -> None:
    """Neither the number of the plan nor the time of the print makes a label void."""
    marks = tuple(each.mark for each in labels(example_day, plan))
    now = LABELS.drawn(mended.day, mended.plan, LATER, "A4", earlier=Earlier(1, marks))
    old, new = by_name(labels(example_day, plan)), by_name(labels(mended.day, mended.plan))
    other = [name for name in new if name not in old or said(new[name]) != said(old[name])]
    assert 0 < len(other) < len(new) / 10
    assert Opened(now.pdf).words.count("staged") == len(other)


def test_a_label_is_not_void_because_there_are_more_copies(example_day: Day, plan: Plan) -> None:
    """*1 of 11* stays where it is when there are 12; the one that is new is printed."""
    last = [each for each in plan.copies if each.stage == "blind"][-1]
    more = last.model_copy(update={"id": f"{last.id}-more", "tag": "T-99"})
    larger = plan.model_copy(update={"copies": (*plan.copies, more)})
    one, other = by_name(labels(example_day, plan)), by_name(labels(example_day, larger))
    assert sum(one[name].count != other[name].count for name in one if name in other) > 1
    marks = {label.mark for label in one.values()}
    assert [name for name, label in other.items() if label.mark not in marks] == [
        ("T-99", example_day.stage(last.demonstration, last.stage).called)
    ]


def test_the_board_is_printed_anew_where_it_says_something_else(
    example_day: Day, plan: Plan, mended: Mended
) -> None:
    """The page on which the take stands, of all."""
    before = board.PAPER.drawn(example_day, plan, FIRST, "A4")
    now = board.PAPER.drawn(mended.day, mended.plan, LATER, "A4", earlier=Earlier(1, before.marks))
    found = changes(now.marks, Earlier(1, before.marks))
    assert len(found.new) == now.sheets - 1 == 1
    assert "11:45" in Opened(now.pdf).pages[1]


@pytest.mark.parametrize("size", ["A4", "A3"])
def test_what_changes_early_in_a_day_leaves_its_later_pages(
    example_day: Day, plan: Plan, size: str
) -> None:
    """Pages begin with an hour where they can, so that a batch less changes few of them.

    A batch stands on up to three: where its hands are, its oven, and what ripens overnight.
    """
    whole = board.pages(example_day, plan, sheet(size))
    new = []
    for batch in plan.batches[::12]:
        rest = tuple(each for each in plan.batches if each.id != batch.id)
        fewer = plan.model_copy(update={"batches": rest})
        new.append(sum(page not in whole for page in board.pages(example_day, fewer, sheet(size))))
    assert max(new) <= 5
    assert sum(new) <= 2.7 * len(new)


def test_a_page_ends_with_an_hour_where_it_is_full_enough() -> None:
    """Four fifths of what fits are enough; else it takes all that fits."""
    hours = [*["07"] * 4, *["08"] * 12, *["09"] * 3]
    assert whole_hours(hours, 18) == 16
    assert whole_hours(hours, 16) == 16
    assert whole_hours(hours, 9) == 9
    assert whole_hours(hours, 5) == 4
    assert whole_hours(hours, 19) == 19
    assert whole_hours(["07"] * 9, 4) == 4
