"""What one taps, everybody sees within a second."""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from tests.browser.kitchen import Kitchen, stored_events, until_painted, until_sent
from tests.browser.test_outbox import job, opened, shown, tap

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext

Phones = Callable[..., "BrowserContext"]


def test_two_screens_follow_within_a_second(phone: Phones, kitchen: Kitchen) -> None:
    """A phone taps; the wall, a screen of somebody else, shows it."""
    mine = opened(phone(kitchen, "cook-1"), kitchen.address("list?cook=cook-1"))
    wall = opened(phone(kitchen, "Zoe"), kitchen.address("board"))
    tap(mine, "b1")
    begun = time.monotonic()
    shown(wall, "b1", "begun")
    assert time.monotonic() - begun < 1
    assert "cook-1" in job(wall, "b1").inner_text()


def test_a_screen_that_was_away_catches_up(phone: Phones, kitchen: Kitchen) -> None:
    away = phone(kitchen, "Zoe")
    wall = opened(away, kitchen.address("board"))
    mine = opened(phone(kitchen, "cook-1"), kitchen.address("list?cook=cook-1"))
    away.set_offline(True)
    wall.locator("#waiting", has_text="Not connected since").wait_for()
    tap(mine, "b1")
    until_sent(mine)
    away.set_offline(False)
    wall.locator('.job[data-batch="b1"][data-shown="begun"]').wait_for(timeout=15000)


def test_a_server_that_comes_back_is_found_again(phone: Phones, own_kitchen: Kitchen) -> None:
    """The page asks again every few seconds, not as fast as it can."""
    wall = opened(phone(own_kitchen, "Zoe"), own_kitchen.address("board"))
    asked: list[str] = []
    wall.on(
        "request", lambda request: asked.append(request.url) if "/live" in request.url else None
    )
    own_kitchen.server.kill()
    wall.locator("#waiting", has_text="Not connected since").wait_for()
    wall.wait_for_timeout(5000)
    assert len(asked) < 8
    own_kitchen.server.start()
    wall.locator("#waiting").wait_for(state="hidden", timeout=15000)


def test_a_phone_without_a_pass_is_asked_for_the_code(browser: "Browser", kitchen: Kitchen) -> None:
    profile = browser.new_context()
    page = profile.new_page()
    page.goto(kitchen.address("board"))
    page.get_by_label("Join code").fill("12")
    page.get_by_role("button", name="Come in").click()
    page.get_by_text("That is not the code.").wait_for()
    page.get_by_label("Join code").fill(kitchen.code())
    page.get_by_role("button", name="Come in").click()
    page.get_by_label("Somebody else").fill("Zoe")
    page.get_by_role("button", name="That’s me").click()
    page.wait_for_url(kitchen.address("board"))
    profile.close()


def test_a_new_plan_is_on_every_screen_within_a_second(phone: Phones, kitchen: Kitchen) -> None:
    """The producer accepts; the wall draws plan 2 anew, without a reload."""
    wall = opened(phone(kitchen, "Zoe"), kitchen.address("board?day=all"))
    loads: list[str] = []
    wall.on("load", lambda _: loads.append(wall.url))
    desk = phone(kitchen, "Producer").new_page()
    desk.goto(kitchen.address("count"))
    desk.get_by_role("button", name="Work it out again").click()
    desk.get_by_role("button", name="Accept").click(timeout=90_000)
    begun = time.monotonic()
    wall.locator('#floor[data-plan="2"]').wait_for(timeout=5000)
    assert time.monotonic() - begun < 1
    assert wall.locator("#news").inner_text() == "Plan 2 holds now."
    tap(wall, "b1")
    until_sent(wall)
    assert stored_events(kitchen) == [(1, "started", "b1")]
    assert loads == []


def test_a_page_that_nobody_looks_at_lets_its_stream_go(phone: Phones, kitchen: Kitchen) -> None:
    """A browser opens six connections to a server: a seventh forgotten tab must not stop all."""
    profile = phone(kitchen, "Zoe")
    wall = profile.new_page()
    wall.clock.install()
    asked: list[str] = []
    wall.on("request", lambda each: asked.append(each.url) if "/live" in each.url else None)
    ended: list[str] = []
    wall.on("requestfailed", lambda each: ended.append(each.url) if "/live" in each.url else None)
    wall.goto(kitchen.address("board"))
    until_painted(wall)
    look = "is => { Object.defineProperty(document, 'hidden', {configurable: true, get: () => is});"
    look += " document.dispatchEvent(new Event('visibilitychange')); }"
    wall.evaluate(look, True)
    wall.clock.fast_forward(31_000)
    wall.wait_for_timeout(300)
    assert (len(asked), len(ended)) == (1, 1)
    wall.evaluate(look, False)
    wall.wait_for_timeout(300)
    assert len(asked) == 2
