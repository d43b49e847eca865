"""Every screen of the crew, at every size and in every light, in all five states."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from app.planning.day import Day
from app.planning.plan import Plan
from tests.browser.conftest import NOON
from tests.browser.kitchen import Kitchen, at_this_moment, until, until_painted, until_sent
from tests.browser.looking import SIGHTS, eye, findings, is_too_wide, small_targets
from tests.browser.test_outbox import job, tap

SCREENS = {
    "board": "board",
    "board of all days": "board?day=all",
    "whose list": "list",
    "list": "list?cook=cook-1",
    "pulls by stage": "pulls",
    "pulls by beat": "pulls?by=beat",
    "shelves": "shelves",
    "a copy found": "shelves?tag=kn-2",
    "no copy found": "shelves?tag=xx-99",
    "copy": "copies/KN-4",
    "nothing cools": "cooling",
    "copy by its id": "copies/knots/baked/13",
    "no such copy": "copies/XX-99",
}


@pytest.fixture(scope="module")
def begun(
    tmp_path_factory: pytest.TempPathFactory, knots_day: Day, knots_plan: Plan, browser: Browser
) -> Iterator[Kitchen]:
    """Yield a kitchen whose day has begun: one batch staged with a loss, one started, one late."""
    day, plan = at_this_moment(knots_day, knots_plan, NOON)
    with Kitchen(tmp_path_factory.mktemp("begun"), day, plan) as open_now:
        profile = open_now.phone(browser, "Zoe")
        page = profile.new_page()
        page.goto(open_now.address("board?day=all"))
        until_painted(page)
        tap(page, "b1")
        job(page, "b1").get_by_role("button", name="One more lost").click()
        tap(page, "b1")
        tap(page, "b2")
        until_sent(page)
        profile.close()
        yield open_now


def looked_at(page: Page, complaints: list[str], least: int, name: str) -> None:
    """Look at a screen for everything that no screen may have."""
    for each in page.locator("details").all():
        each.evaluate("each => { each.open = true; }")
    assert not is_too_wide(page), name
    assert findings(page) == [], name
    assert small_targets(page, least) == [], name
    assert [each for each in complaints if "404" not in each] == [], name


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_crew_screens_fit_are_accessible_and_keep_the_policy(
    browser: Browser, begun: Kitchen, width: int, height: int, scheme: str
) -> None:
    """No sideways scroll, no finding of axe-core, no complaint of the browser, large targets."""
    page, complaints = eye(browser, width, height, scheme)
    begun.join(page.context, "Zoe")
    for name, path in SCREENS.items():
        complaints.clear()
        page.goto(begun.address(path))
        if "no such" not in name and page.locator(".job[data-batch]").count():
            until_painted(page)
        looked_at(page, complaints, 48 if width < 600 else 24, name)
    page.context.close()


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_a_screen_without_a_network_is_as_good(
    browser: Browser, begun: Kitchen, width: int, height: int, scheme: str
) -> None:
    """The state *old*: a tick waits, the page says so, and nobody is locked out of it."""
    page, complaints = eye(browser, width, height, scheme)
    begun.join(page.context, "Zoe")
    page.goto(begun.address("board?day=all"))
    until_painted(page)
    page.context.set_offline(True)
    tap(page, "b5")
    page.get_by_text("1 tick waits on this device").wait_for()
    page.locator("#waiting", has_text="Not connected since").wait_for()
    offline = [each for each in complaints if "ERR_INTERNET_DISCONNECTED" not in each]
    looked_at(page, offline, 48 if width < 600 else 24, "old")
    page.context.close()


@pytest.mark.parametrize("path", ["join", "join/person"])
@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_the_join_pages_are_as_good(
    browser: Browser, begun: Kitchen, width: int, height: int, scheme: str, path: str
) -> None:
    page, complaints = eye(browser, width, height, scheme)
    begun.join(page.context, "")
    page.goto(f"{begun.server.kitchen_url}/{path}")
    looked_at(page, complaints, 48 if width < 600 else 24, path)
    page.context.close()


@pytest.mark.parametrize("path", ["board", "list?cook=cook-1", "pulls", "shelves", "copies/KN-4"])
def test_a_crew_screen_works_at_320_pixels_and_at_twice_the_size(
    browser: Browser, begun: Kitchen, path: str
) -> None:
    """Twice the size of a 720 pixel window is a 360 pixel one with larger text."""
    page, _ = eye(browser, 320, 640, "light")
    begun.join(page.context, "Zoe")
    page.goto(begun.address(path))
    assert not is_too_wide(page)
    page.evaluate("document.documentElement.style.setProperty('font-size', '200%')")
    page.set_viewport_size({"width": 720, "height": 640})
    assert not is_too_wide(page)
    page.context.close()


def test_a_row_on_a_phone_is_a_button_over_its_whole_width(
    browser: Browser, begun: Kitchen
) -> None:
    """High enough for a floury thumb."""
    page, _ = eye(browser, 360, 740, "light")
    begun.join(page.context, "Zoe")
    page.goto(begun.address("list?cook=cook-1"))
    until_painted(page)
    box = job(page, "b5").locator("[data-tap]").bounding_box()
    assert box is not None
    assert box["height"] >= 56
    assert box["width"] >= 320
    page.context.close()


def test_everything_is_done_by_keyboard(browser: Browser, begun: Kitchen) -> None:
    """Tab to a row, Enter to start it; the focus stays on it."""
    page, _ = eye(browser, 1440, 900, "light")
    begun.join(page.context, "Zoe")
    page.goto(begun.address("list?cook=cook-1"))
    until_painted(page)
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.closest('.job')?.dataset.batch") == "b7":
            break
    page.keyboard.press("Enter")
    page.locator('.job[data-batch="b7"][data-shown="begun"]').wait_for()
    assert page.evaluate("document.activeElement.closest('.job')?.dataset.batch") == "b7"
    page.context.close()


def test_the_slider_moves_the_shelves(browser: Browser, begun: Kitchen) -> None:
    """Arrow keys move the time; only the shelves are drawn anew, no page is loaded."""
    page, complaints = eye(browser, 1440, 900, "light")
    begun.join(page.context, "Zoe")
    page.goto(begun.address("shelves"))
    before = page.locator(".shown-at time").inner_text()
    loads: list[str] = []
    page.on("load", lambda _: loads.append(page.url))
    page.get_by_label("Time of day").focus()
    page.keyboard.press("ArrowRight")
    until(page, f"document.querySelector('.shown-at time').textContent !== '{before}'")
    assert loads == []
    assert complaints == []
    page.context.close()


def test_the_now_line_stands_between_past_and_future(browser: Browser, begun: Kitchen) -> None:
    """And what should have begun but was not ticked stands out."""
    page, _ = eye(browser, 1440, 900, "light")
    begun.join(page.context, "Zoe")
    page.goto(begun.address("board?day=all"))
    until_painted(page)
    assert page.locator(".now-row").count() == 1
    late = page.locator('.job[data-batch="b3"] .job-late')
    assert "min late" in late.inner_text()
    assert not page.locator('.job[data-batch="b9"] .job-late').first.is_visible()
    page.context.close()


def test_a_production_without_a_plan_says_what_to_do_first(
    browser: Browser, tmp_path: Path, knots_day: Day
) -> None:
    with Kitchen(tmp_path / "empty", knots_day, None) as unplanned:
        page, complaints = eye(browser, 360, 740, "light")
        unplanned.join(page.context, "Zoe")
        for path in ("board", "list", "pulls", "shelves", "copies/KN-1"):
            complaints.clear()
            page.goto(unplanned.address(path))
            page.get_by_role("link", name="Work out the plan").wait_for()
            looked_at(page, complaints, 48, path)
        page.context.close()
