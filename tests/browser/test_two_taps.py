"""Each accident of a day is two taps away on a phone, and its mended plan a third to accept it."""

import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from app.planning.day import Day
from app.planning.plan import Plan
from tests.browser.kitchen import Kitchen, at_this_moment, stored_events, until_painted
from tests.browser.looking import is_too_wide, small_targets
from tests.browser.test_outbox import job, tap

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

LATE = "2027-03-04T12:05"
"""The first mixing should have begun at 11:49, the second at 12:01."""
PATIENCE_MS = 60_000
PICTURES = os.environ.get("PICTURES")
ACCIDENTS = {
    "late": ("batch/b2", "15 min:", "expected"),
    "lost": ("batch/b1", "is lost", "lost"),
    "staged early": ("batch/b2", "It is staged now", "staged"),
    "run moved": ("run/knots-take-2", "15 min later", "moved"),
    "run added": ("run/knots-take-2", r"^at \d", "added"),
    "run dropped": ("run/knots-take-2", "Drop", "dropped"),
    "oven down": ("item/deck-oven", "1 h:", "closed"),
    "crew member gone": ("cook/cook-1", "15 min:", "absent"),
}

OTHER_WAYS = {"Use what stands ready as a backup": [], "Let knots-take-1 start": ["moved"]}


@pytest.fixture
def kitchen(tmp_path: Path, knots_day: Day, knots_plan: Plan) -> Iterator[Kitchen]:
    """Yield a kitchen at five past twelve in which nobody has ticked anything."""
    day, plan = at_this_moment(knots_day, knots_plan, LATE)
    with Kitchen(tmp_path / "store", day, plan) as open_now:
        yield open_now


def board(kitchen: Kitchen, phone: "Callable[..., BrowserContext]", *batches: str) -> "Page":
    """Return the board on a phone, on which some batches were tapped."""
    page = phone(kitchen, has_touch=True, is_mobile=True).new_page()
    page.goto(kitchen.address("board?day=all"))
    until_painted(page)
    for batch in batches:
        tap(page, batch)
        page.wait_for_timeout(600)
    return page


def look(page: "Page", name: str) -> None:
    """Look at a screen: it fits, and all of it can be tapped; draw it where somebody asks to."""
    assert not is_too_wide(page), name
    assert small_targets(page, 48) == [], name
    if PICTURES:
        page.screenshot(path=f"{PICTURES}/{name.replace(' ', '-')}.png", full_page=True)


def mended(page: "Page") -> None:
    """Wait for what the mended plan changes, and accept it; where nothing changes, leave it so."""
    page.locator("#mend .draft").first.wait_for(timeout=PATIENCE_MS)


def of(page: "Page", subject: str) -> None:
    """Open what can be said of something by one tap, from the day's screen or the board."""
    kind, name = subject.split("/")
    if kind == "batch":
        job(page, name).get_by_role("link", name="Not as planned").click()
    else:
        page.locator(f"a[href$='today/{subject}']").click()
    page.get_by_text("One tap says it").wait_for()


@pytest.mark.parametrize("accident", ACCIDENTS)
def test_two_taps_tell_an_accident_and_have_the_plan_mended(
    accident: str, kitchen: Kitchen, phone: "Callable[..., BrowserContext]"
) -> None:
    """One on what it is about, one on what is the matter."""
    subject, said, event = ACCIDENTS[accident]
    page = board(kitchen, phone, "b1", "b1", "b2")
    page.goto(kitchen.address("board?day=all" if subject.startswith("batch") else "today"))
    page.get_by_role("heading", level=1).wait_for()
    of(page, subject)
    look(page, f"{accident} 1 said")
    page.get_by_role("button", name=re.compile(said)).first.click()
    mended(page)
    look(page, f"{accident} 2 mended")
    assert [each for _, each, _ in stored_events(kitchen)][3:] == [event]


def test_what_has_not_started_is_mended_from_now(
    kitchen: Kitchen, phone: "Callable[..., BrowserContext]"
) -> None:
    """Nobody ticked the mixing of 11:49: it has not, and nothing is told but that time has gone."""
    page = board(kitchen, phone, "b1", "b1")
    of(page, "batch/b2")
    look(page, "it has not 1 said")
    page.get_by_role("button", name="It has not").click()
    mended(page)
    look(page, "it has not 2 mended")
    page.get_by_text("mixed, batch 1 moves from").wait_for()
    page.get_by_role("button", name="Accept", exact=False).first.click()
    page.get_by_text("Plan 2 holds").wait_for()
    look(page, "it has not 3 accepted")
    page.goto(kitchen.address("board?day=all"))
    until_painted(page)
    look(page, "it has not 4 board")
    assert [each for _, each, _ in stored_events(kitchen)] == ["started", "staged"]


@pytest.mark.parametrize("words", OTHER_WAYS)
def test_another_way_to_go_on_is_taken_by_one_tap(
    words: str, kitchen: Kitchen, phone: "Callable[..., BrowserContext]"
) -> None:
    """The only cook is away for an hour: backups are used, or the take starts later."""
    page = board(kitchen, phone, "b1", "b1", "b2")
    page.goto(kitchen.address("today"))
    of(page, "cook/cook-1")
    page.get_by_role("button", name="1 h:").click()
    offer = page.locator(".offer").filter(has_text=words)
    offer.wait_for(timeout=PATIENCE_MS)
    look(page, f"{words} 1 offered")
    offer.get_by_role("button", name="Accept this instead").click()
    page.get_by_text("Plan 2 holds").wait_for()
    look(page, f"{words} 2 accepted")
    assert [each for _, each, _ in stored_events(kitchen)][3:] == ["absent", *OTHER_WAYS[words]]
