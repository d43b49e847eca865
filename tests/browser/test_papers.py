"""Papers in a real browser: at every size and in every light, and the way to a PDF."""

import pytest
from playwright.sync_api import Browser

from tests.browser.looking import SIGHTS, eye, findings, is_too_wide, looks_well, small_targets
from tests.live import Server


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_a_paper_is_drawn_and_opened(
    browser: Browser, shared_server: Server, width: int, height: int, scheme: str
) -> None:
    """One press draws it in place, the link that appears fetches it; nothing to find for axe."""
    page, complaints = eye(browser, width, height, scheme)
    page.goto(f"{shared_server.url}/productions/1/papers")
    page.get_by_role("link", name="Shelf map on A4").click()
    opening = page.get_by_role("link", name="Open the shelf map, A4")
    opening.wait_for(timeout=60_000)
    assert page.url.endswith("/papers")
    looks_well(page, complaints, width)
    address = f"{shared_server.url}{opening.get_attribute('href')}"
    fetched = page.request.get(address)
    assert fetched.status == 200
    assert fetched.body().startswith(b"%PDF-")
    page.context.close()


def test_without_script_a_size_is_a_plain_link(browser: Browser, shared_server: Server) -> None:
    """The browser gets the PDF itself."""
    profile = browser.new_context(java_script_enabled=False)
    page = profile.new_page()
    page.goto(f"{shared_server.url}/productions/1/papers")
    link = page.get_by_role("link", name="Prep board on Letter").get_attribute("href")
    fetched = page.request.get(f"{shared_server.url}{link}")
    assert fetched.headers["content-type"] == "application/pdf"
    profile.close()


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_labels_are_laid_out_and_drawn(
    browser: Browser, shared_server: Server, width: int, height: int, scheme: str
) -> None:
    """The preview follows what is chosen, without a reload; nothing to find for axe."""
    page, complaints = eye(browser, width, height, scheme)
    page.goto(f"{shared_server.url}/productions/1/labels")
    page.get_by_text("Change this sheet, or add another").click()
    assert not is_too_wide(page)
    assert findings(page) == []
    assert small_targets(page, 48 if width < 600 else 24) == []
    page.get_by_label("First label still there").fill("4")
    page.get_by_label("First label still there").press("Tab")
    page.locator(".used-up").nth(2).wait_for(state="attached")
    page.get_by_label("Sheet", exact=True).select_option(label="Roll, 100 by 60 mm")
    page.get_by_role("heading", name="The roll").wait_for()
    page.get_by_role("link", name="Draw all labels").click()
    opening = page.get_by_role("link", name="Open the labels")
    opening.wait_for(timeout=60_000)
    fetched = page.request.get(f"{shared_server.url}{opening.get_attribute('href')}")
    assert fetched.body().startswith(b"%PDF-")
    assert complaints == []
    page.context.close()
