"""A day that does not go as planned: told in two taps, mended, accepted, taken back."""

import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import pytest

from app.planning.day import Day
from app.planning.plan import Plan
from tests.browser.conftest import NOON
from tests.browser.kitchen import WALL, Kitchen, at_this_moment, stored_events, until_painted
from tests.browser.looking import SIGHTS, eye, findings, is_too_wide, small_targets
from tests.browser.test_outbox import job, tap

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

Phones = Callable[..., "BrowserContext"]
PATIENCE_MS = 60_000
SOON_MS = 1_000
CHOICES = ("batch/b2", "run/knots-take-1", "item/deck-oven", "cook/cook-1")


@pytest.fixture
def day_under_way(own_kitchen: Kitchen, phone: Phones) -> Kitchen:
    """Return a kitchen in which a batch was staged and another is being made."""
    page = phone(own_kitchen).new_page()
    page.goto(own_kitchen.address("board?day=all"))
    until_painted(page)
    for batch in ("b1", "b1", "b2"):
        tap(page, batch)
        page.wait_for_timeout(800)
    page.close()
    return own_kitchen


def accept(page: "Page") -> None:
    """Wait for the mended plan and accept it."""
    page.get_by_role("heading", name="What changes with plan").wait_for(timeout=PATIENCE_MS)
    page.get_by_role("button", name="Accept").click()
    page.get_by_text("takes it in").first.wait_for()


def test_a_day_of_accidents_on_a_phone(
    day_under_way: Kitchen, phone: Phones, browser: "Browser"
) -> None:
    """Dough takes longer, a run moves, a copy is lost and is not after all; the wall follows."""
    kitchen = day_under_way
    wall = phone(kitchen, "wall", viewport=WALL).new_page()
    wall.goto(kitchen.address("board?day=all"))
    until_painted(wall)
    page = phone(kitchen).new_page()
    page.goto(kitchen.address("list?cook=cook-1"))
    until_painted(page)

    job(page, "b2").get_by_role("link", name="Not as planned").click()
    page.get_by_role("button", name="15 min:").first.click()
    page.get_by_text("will be staged at").first.wait_for()
    wall.get_by_text("1 thing happened that plan 1 does not know.").wait_for(timeout=SOON_MS)
    accept(page)
    wall.locator("#floor[data-plan='2']").wait_for(timeout=PATIENCE_MS)
    assert not wall.locator("#unknown").is_visible()

    page.goto(kitchen.address("today"))
    page.get_by_role("link", name="knots-take-2").click()
    page.get_by_role("button", name="15 min later").click()
    accept(page)
    began = time.monotonic()
    wall.locator("#floor[data-plan='3']").wait_for(timeout=PATIENCE_MS)
    assert time.monotonic() - began < PATIENCE_MS

    page.goto(kitchen.address("batch").replace("/batch", "/today/batch/b1"))
    page.get_by_role("button", name="is lost").first.click()
    page.get_by_role("heading", name="On the day").wait_for()
    page.locator(".told li", has_text="is lost").get_by_role("button").click()
    page.get_by_role("heading", name="On the day").wait_for()
    page.locator("#mend").get_by_role("button", name="Mend the plan from now").wait_for()
    events = [event for _, event, _ in stored_events(kitchen)]
    assert events == ["started", "staged", "started", "expected", "moved", "lost", "undone"]


@pytest.fixture(scope="module")
def told(
    tmp_path_factory: pytest.TempPathFactory, knots_day: Day, knots_plan: Plan, browser: "Browser"
) -> Iterator[Kitchen]:
    """Yield a kitchen in which a run was dropped; the mended plan waits for an answer."""
    day, plan = at_this_moment(knots_day, knots_plan, NOON)
    with Kitchen(tmp_path_factory.mktemp("told"), day, plan) as open_now:
        profile = open_now.phone(browser, "Zoe")
        page = profile.new_page()
        page.goto(open_now.address("today/run/knots-take-2"))
        page.get_by_role("button", name="Drop").click()
        page.get_by_role("heading", name="What changes with plan 2").wait_for(timeout=PATIENCE_MS)
        profile.close()
        yield open_now


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_screens_of_the_day_fit_and_are_accessible(
    browser: "Browser", told: Kitchen, width: int, height: int, scheme: str
) -> None:
    """No sideways scroll, no finding of axe-core, no complaint of the browser, large targets."""
    page, complaints = eye(browser, width, height, scheme)
    told.join(page.context, "Zoe")
    for path in ("today", *(f"today/{choice}" for choice in CHOICES)):
        complaints.clear()
        page.goto(told.address(path))
        page.get_by_role("heading", level=1).wait_for()
        assert not is_too_wide(page), path
        assert findings(page) == [], path
        assert small_targets(page, 48 if width < 600 else 24) == [], path
        assert complaints == [], path
    page.context.close()
