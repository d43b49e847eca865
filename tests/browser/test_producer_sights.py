"""Every screen of the producer, at every size and in every light."""

import pytest
from playwright.sync_api import Browser

from tests.browser.looking import SIGHTS, eye, findings, is_too_wide, small_targets
from tests.live import Server

SCREENS = {
    "productions": "/",
    "rundown": "/productions/1/rundown",
    "table of runs": "/productions/1/rundown/table",
    "count": "/productions/1/count",
    "sum": "/productions/1/count?sum=knots.rested",
    "demonstrations": "/productions/1/demonstrations",
    "files": "/productions/1/files",
    "demonstration": "/productions/1/demonstrations/knots",
    "history": "/productions/1/history",
    "kitchen": "/productions/1/kitchen",
    "plan": "/productions/1/plan",
    "shopping": "/productions/1/shopping",
    "larder": "/larder?name=egg",
    "sums": "/sums?sum=pans",
    "limits": "/limits",
    "allergens": "/productions/1/allergens",
    "wrong": "/productions/99/count",
}


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_screens_fit_are_accessible_and_keep_the_policy(
    browser: Browser, shared_server: Server, width: int, height: int, scheme: str
) -> None:
    """No sideways scroll, no finding of axe-core, no complaint of the browser, large targets."""
    page, complaints = eye(browser, width, height, scheme)
    least = 48 if width < 600 else 24
    for name, path in SCREENS.items():
        complaints.clear()
        page.goto(shared_server.url + path)
        for each in page.locator("details").all():
            each.evaluate("each => { each.open = true; }")
        assert not is_too_wide(page), name
        assert findings(page) == [], name
        assert small_targets(page, least) == [], name
        assert [each for each in complaints if "404" not in each] == [], name
    page.context.close()


def test_no_screen_moves_sideways_on_what_lies_between_a_phone_and_a_laptop(
    browser: Browser, shared_server: Server
) -> None:
    """A small laptop, a tablet on its side and upright, half a screen."""
    page, _ = eye(browser, 1280, 800, "light")
    for path in SCREENS.values():
        page.goto(shared_server.url + path)
        for width in (1280, 1024, 800, 640):
            page.set_viewport_size({"width": width, "height": 800})
            assert not is_too_wide(page), (path, width)
    page.context.close()


@pytest.mark.parametrize(
    "path",
    [
        *("/", "/productions/1/count", "/productions/1/rundown", "/productions/1/rundown/table"),
        *("/productions/1/kitchen", "/productions/1/demonstrations/knots"),
        "/productions/1/demonstrations/knots/photographs",
    ],
)
def test_a_screen_works_at_320_pixels_and_at_twice_the_size(
    browser: Browser, shared_server: Server, path: str
) -> None:
    """Twice the size of a 720 pixel window is a 360 pixel one with larger text."""
    page, _ = eye(browser, 320, 640, "light")
    page.goto(shared_server.url + path)
    assert not is_too_wide(page)
    page.evaluate("document.documentElement.style.setProperty('font-size', '200%')")
    page.set_viewport_size({"width": 720, "height": 640})
    assert not is_too_wide(page)
    page.context.close()


def test_a_laptop_shows_thirty_rows_of_the_count(browser: Browser, shared_server: Server) -> None:
    """Thirty rows and what stands above them fit 1440 by 900."""
    page, _ = eye(browser, 1440, 900, "light")
    page.goto(shared_server.url + "/productions/1/count")
    first = page.locator(".counts tbody tr").first.bounding_box()
    assert first is not None
    assert first["y"] + 30 * first["height"] <= 900
    page.context.close()


def test_the_menu_of_screens_opens_without_script(browser: Browser, shared_server: Server) -> None:
    """On a phone the ways to other screens stand behind one button."""
    profile = browser.new_context(
        viewport={"width": 360, "height": 740}, java_script_enabled=False, is_mobile=True
    )
    page = profile.new_page()
    page.goto(shared_server.url + "/productions/1/rundown")
    assert not page.get_by_role("link", name="Kitchen").is_visible()
    page.get_by_role("button", name="Screens").click()
    page.get_by_role("link", name="Kitchen").click()
    assert page.url.endswith("/productions/1/kitchen")
    profile.close()
