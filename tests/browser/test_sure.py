"""How sure a plan is, in a real browser: it comes by itself, slack is tried, a slider tells it."""

import re

from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Phones
from tests.browser.kitchen import Kitchen, until_painted, until_sent
from tests.browser.looking import SIGHTS, eye, looks_well
from tests.browser.test_outbox import tap
from tests.live import Server

PATIENCE_MS = 60_000
COUNT = "/productions/1/count"


def _try_slack(page: Page) -> None:
    """Have slack tried until a first plan is there, and stop."""
    page.get_by_role("button", name="Try other slack").click()
    expect(page.locator("#slack")).to_contain_text(
        re.compile(r"[2-9] of 9 plans are there"), timeout=PATIENCE_MS
    )
    page.get_by_role("button", name="Stop, keep what is found").click()
    expect(page.get_by_role("button", name="Try all slack again")).to_be_visible(
        timeout=PATIENCE_MS
    )


def test_how_sure_a_plan_is_comes_by_itself_and_slack_is_tried(
    browser: Browser, server: Server
) -> None:
    """Nobody reloads the page; the slider tells each row by keyboard; it fits in every light."""
    page, complaints = eye(browser, 1440, 900, "light")
    page.goto(server.url + COUNT)
    page.evaluate("window.isTheSamePage = true")
    expect(page.get_by_text("The weakest link is knots-take-1")).to_be_visible(timeout=PATIENCE_MS)
    _try_slack(page)
    slide = page.get_by_label("Minutes between steps")
    said = page.locator("output").first
    expect(said).to_contain_text("0 min between steps, as now: copies cost 48")
    slide.focus()
    page.keyboard.press("ArrowRight")
    expect(said).to_contain_text("5 min between steps: copies cost")
    expect(slide).to_have_attribute("aria-valuetext", re.compile("^5 min between steps"))
    expect(page.locator("#steps-step_slack_min tr.is-chosen th")).to_have_text("5")
    assert page.evaluate("window.isTheSamePage === true")
    assert complaints == []
    page.context.close()
    for width, height, scheme in SIGHTS:
        _looks_well(browser, server.url + COUNT, width, height, scheme)


def _looks_well(browser: Browser, address: str, width: int, height: int, scheme: str) -> None:
    page, complaints = eye(browser, width, height, scheme)
    page.goto(address)
    expect(page.get_by_label("Minutes between steps")).to_be_visible()
    for each in page.locator("details").all():
        each.evaluate("each => { each.open = true; }")
    looks_well(page, complaints, width)
    page.context.close()


def test_how_sure_a_plan_is_can_be_read_without_script(
    browser: Browser, shared_server: Server
) -> None:
    """A link has the day played, and a link looks again."""
    profile = browser.new_context(java_script_enabled=False)
    page = profile.new_page()
    page.goto(shared_server.url + COUNT)
    if page.get_by_role("link", name="Play the day").count():
        page.get_by_role("link", name="Play the day").click()
        while page.get_by_role("link", name="Look again").count():
            page.wait_for_timeout(200)
            page.get_by_role("link", name="Look again").click()
    expect(page.get_by_text("The weakest link is knots-take-1")).to_be_visible()
    profile.close()


def test_on_the_day_it_is_told_how_sure_the_rest_is(
    browser: Browser, kitchen: Kitchen, phone: Phones
) -> None:
    """From now on, with what nobody ticked and what is over; it fits in every light."""
    board = phone(kitchen).new_page()
    board.goto(kitchen.address("board?day=all"))
    until_painted(board)
    tap(board, "b1")
    until_sent(board)
    for width, height, scheme in SIGHTS:
        page, complaints = eye(browser, width, height, scheme)
        kitchen.join(page.context, "wall")
        page.goto(kitchen.address("sure"))
        expect(page.get_by_text("with all that was told by then")).to_be_visible(
            timeout=PATIENCE_MS
        )
        expect(page.get_by_text("should have started by then")).to_be_visible()
        expect(page.get_by_role("button", name="Try other slack")).to_have_count(0)
        looks_well(page, complaints, width)
        page.context.close()
