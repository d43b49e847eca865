"""A paper that is laid out in parts is the same paper."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest

from app.paper import allergens, labels, pdf, runsheet
from app.planning.day import Day
from app.planning.plan import Plan
from tests.paper.days import hard_day
from tests.paper.naive import naive
from tests.paper.opened import Opened

PRINTED = "2027-03-03T18:05"
DRAWERS = {each.__name__.split(".")[-1]: each.draw for each in (allergens, labels, runsheet)}


@pytest.fixture(scope="module")
def day() -> Day:
    """Return two hard days."""
    return hard_day()


@pytest.mark.parametrize("paper", DRAWERS)
def test_parts_make_the_same_paper_as_the_whole(
    monkeypatch: pytest.MonkeyPatch, day: Day, paper: str
) -> None:
    """Pages, their words and numbers, the structure, the fonts, the disclaimer once."""
    plan = naive(day)
    monkeypatch.setattr(pdf, "PART_SIGNS", 10**9)
    whole = Opened(DRAWERS[paper](day, plan, PRINTED, "A4"))
    monkeypatch.setattr(pdf, "PART_SIGNS", 1)
    parted = Opened(DRAWERS[paper](day, plan, PRINTED, "A4"))
    assert parted.pages == whole.pages
    assert parted.words.count("Local food law") == 1
    assert parted.root["/Lang"] == "en"
    assert parted.fonts().keys()
    assert all(parted.fonts().values())
    for opened in (whole, parted):
        assert [page["/StructParents"] for page in opened.reader.pages] == list(
            range(len(opened.pages))
        )
    assert _kinds(parted.root["/StructTreeRoot"]) == _kinds(whole.root["/StructTreeRoot"])
    if paper != "labels":
        for number, words in enumerate(parted.pages, start=1):
            assert words.count(f"page {number} of {len(parted.pages)}") == 1


def test_what_is_finished_is_kept_as_bytes_and_written_as_ever(
    knots_day: Day, knots_plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The very same file comes out, settled page by page or held whole until the end."""
    settled = labels.draw(knots_day, knots_plan, PRINTED, "A4")

    @contextmanager
    def held() -> Iterator[Callable[[], None]]:
        yield lambda: None

    monkeypatch.setattr("app.paper.book.compact", held)
    assert labels.draw(knots_day, knots_plan, PRINTED, "A4") == settled


def _kinds(element: object) -> list[str]:
    """Return the kinds of the elements of a structure, in order."""
    found = []
    left = [element]
    while left:
        each = left.pop()
        each = each.get_object() if hasattr(each, "get_object") else each
        if isinstance(each, dict):
            found.append(str(each.get("/S")))
            inner = each.get("/K", [])
            left.extend(inner if isinstance(inner, list) else [inner])
    return found
