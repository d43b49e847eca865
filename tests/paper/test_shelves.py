"""The shelf map: each unit from the front, before each run."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest

from app.exchange.dayfile import load_plan
from app.paper import shelves
from app.planning.day import Day
from app.planning.plan import Plan
from tests.live import ROOT
from tests.paper.days import hard_day
from tests.paper.naive import naive
from tests.paper.opened import Opened, Words

PRINTED = "2027-03-03T18:05"


@pytest.fixture(scope="module")
def knots(knots_day: Day, knots_plan: Plan) -> Opened:
    """Return the shelf map of the knots day."""
    return Opened(shelves.draw(knots_day, knots_plan, PRINTED, "A4"))


def test_each_unit_has_a_page_with_its_zone(knots: Opened) -> None:
    """A rack in the room and a fridge."""
    assert len(knots.pages) == 2
    assert "rack-1 Zone: ambient" in knots.pages[0]
    assert "fridge-1 Zone: chill" in knots.pages[1]


def test_it_is_drawn_before_each_run_less_its_margin(knots: Opened) -> None:
    """Takes at 14:00 and 15:30, margin 10 minutes."""
    assert "13:50 Thursday 4 March 2027 before knots-take-1 at 14:00" in knots.pages[0]
    assert "15:20 Thursday 4 March 2027 before knots-take-2 at 15:30" in knots.pages[0]


def test_a_run_with_its_own_margin_is_drawn_at_its_own_time(
    knots_day: Day, knots_plan: Plan
) -> None:
    """A run's margin goes before the house's."""
    first = knots_day.runs[0].model_copy(update={"ready_margin_min": 25})
    day = knots_day.model_copy(update={"runs": (first, *knots_day.runs[1:])})
    moments = shelves.units(day, knots_plan)[0].moments
    assert [moment.hours for moment in moments] == [("13:35",), ("15:20",)]


def test_what_goes_at_that_very_minute_is_shown_going(knots: Opened) -> None:
    """KN-4 waits scaled until 13:50 and is the first copy of take 1."""
    assert "KN-4 scaled goes now for knots-take-1, mix 14:00" in knots.pages[0]


def test_copies_that_share_a_slot_are_told_together(knots: Opened) -> None:
    """Twelve baked knots stand in one slot: six to take, six behind them."""
    assert "6 copies baked for knots-take-2, reveal 15:35" in knots.pages[0]
    assert "6 copies baked backup for knots-take-2, reveal 15:35" in knots.pages[0]


def test_a_wide_copy_takes_its_slots_and_a_long_level_goes_on_below() -> None:
    """A level of twelve slots is drawn eight and four; a copy of two slots fills two."""
    day = hard_day()
    rack = shelves.units(day, naive(day))[0]
    lines = rack.moments[0].levels[0].lines
    assert rack.across == 8
    assert [sum(slot.wide for slot in line) for line in lines] == [8, 4]
    assert {slot.wide for line in lines for slot in line if slot.held} == {2}


def test_moments_alike_are_told_once(knots: Opened, knots_day: Day, knots_plan: Plan) -> None:
    """The fridge stays empty, so it is drawn once, for both takes."""
    fridge = shelves.units(knots_day, knots_plan)[1]
    assert [moment.hours for moment in fridge.moments] == [("13:50", "15:20")]
    assert "before knots-take-1 at 14:00 and knots-take-2 at 15:30 Empty." in knots.pages[1]


def test_a_dry_run_needs_no_map(golden: Callable[[str], Any]) -> None:
    """It needs nothing, so nothing is fetched for it."""
    day = hard_day()
    told = [run for moment in shelves.units(day, naive(day))[1].moments for run in moment.runs]
    assert not any(run.startswith("words") for run in told)


def test_names_cannot_push_a_unit_off_the_page() -> None:
    """Long names are cut, so that the head stays one line."""
    day = hard_day()
    opened = Opened(shelves.draw(day, naive(day), PRINTED, "letter"))
    assert all("…" in words for words in opened.pages[:1])


def test_raw_food_says_so_where_it_stands() -> None:
    """Raw animal food stays below ready-to-eat food (Food Code 3-302.11; the shelf order by
    cooking temperature is a teaching convention)."""
    day = hard_day()
    words = Opened(shelves.draw(day, naive(day), PRINTED, "A4")).words
    assert "RAW stays below all that is ready to eat." in words
    assert "copies RAW Donaudampf" in words


def test_many_moments_are_drawn_small_on_few_pages(example_day: Day) -> None:
    """Nineteen moments of a fridge of six levels take four pages of A4 at most, three of A3.

    Each small drawing still has the hour, the runs, the stage, the tag, until when it stands
    there, and what goes now with what it is for.
    """
    plan = load_plan((ROOT / "seed_demo" / "studio.plan.json").read_bytes())
    units = shelves.units(example_day, plan)
    assert [unit.name for unit in units if unit.beside] == [
        *("trolley by the set door", "tall fridge", "upright freezer", "hot cupboard"),
    ]
    opened = Opened(shelves.draw(example_day, plan, PRINTED, "A4"))
    fridge = [words for words in opened.pages if "tall fridge" in words]
    assert len(fridge) <= 4
    assert len(opened.pages) <= 11
    words = Words(" ".join(fridge))
    unit = next(unit for unit in units if unit.name == "tall fridge")
    assert len(unit.moments) == 19
    for moment in unit.moments:
        assert f"{moment.at} before {moment.before}" in words
        for held in _held(moment):
            said = "now" if held.goes else f"–{held.until}"
            raw = "RAW " if held.is_raw else ""
            assert f"{held.code} {raw}{held.label} {said}" in words
            assert not held.goes or f"{held.label} {held.bound_for}" in words


def _held(moment: shelves.Moment) -> Iterator[shelves.Standing]:
    for level in moment.levels:
        for line in level.lines:
            for slot in line:
                yield from slot.held


def test_a_few_moments_are_drawn_large(knots_day: Day, knots_plan: Plan) -> None:
    """Two moments have room with all their words."""
    assert not any(unit.beside for unit in shelves.units(knots_day, knots_plan))
