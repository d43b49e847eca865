"""Taps survive lost requests, lost answers, a killed server, a dead network and reloads.

Everything happens on plain HTTP, on an origin that is not localhost, as in a kitchen.
"""

import contextlib
import random
from collections.abc import Callable
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import httpx
import pytest
from playwright.sync_api import Error

from tests.browser.kitchen import Kitchen, stored_events, until_painted, until_sent

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Locator, Page, Request, Route

Phones = Callable[..., "BrowserContext"]
LIST = "list?cook=cook-1"
SEED = 7


def opened(profile: "BrowserContext", address: str) -> "Page":
    """Return a page that shows an address and has its outbox ready."""
    page = profile.new_page()
    page.goto(address)
    until_painted(page)
    return page


def job(page: "Page", batch: str) -> "Locator":
    """Return the first row of a batch."""
    return page.locator(f'.job[data-batch="{batch}"]').first


def tap(page: "Page", batch: str) -> None:
    """Tap the row of a batch, later than a double tap would."""
    page.wait_for_timeout(750)
    job(page, batch).locator("[data-tap]").click()


def shown(page: "Page", batch: str, look: str) -> None:
    """Wait until the row of a batch looks like this."""
    page.locator(f'.job[data-batch="{batch}"][data-shown="{look}"]').first.wait_for(timeout=5000)


def test_the_page_stands_on_plain_http(phone: Phones, kitchen: Kitchen) -> None:
    """What the outbox must do without: a secure origin and all that only it has."""
    page = opened(phone(kitchen), kitchen.address(LIST))
    assert page.evaluate("isSecureContext") is False
    assert page.evaluate("'serviceWorker' in navigator") is False
    assert page.evaluate("typeof crypto.randomUUID") == "undefined"


def test_one_tap_starts_and_one_tap_stages(phone: Phones, kitchen: Kitchen) -> None:
    page = opened(phone(kitchen), kitchen.address(LIST))
    tap(page, "b1")
    shown(page, "b1", "begun")
    tap(page, "b1")
    shown(page, "b1", "done")
    until_sent(page)
    assert stored_events(kitchen) == [(1, "started", "b1"), (2, "staged", "b1")]
    assert "cook-1" in job(page, "b1").inner_text()


def test_a_double_tap_starts_once_and_stages_nothing(phone: Phones, kitchen: Kitchen) -> None:
    page = opened(phone(kitchen), kitchen.address(LIST))
    job(page, "b1").locator("[data-tap]").dblclick()
    until_sent(page)
    assert stored_events(kitchen) == [(1, "started", "b1")]


def test_the_count_lost_goes_with_the_tap(phone: Phones, kitchen: Kitchen) -> None:
    page = opened(phone(kitchen), kitchen.address(LIST))
    tap(page, "b1")
    job(page, "b1").get_by_role("button", name="One more lost").click()
    job(page, "b1").get_by_role("button", name="One more lost").click()
    job(page, "b1").get_by_role("button", name="One less lost").click()
    tap(page, "b1")
    until_sent(page)
    page.get_by_text("1 lost").first.wait_for()
    page.reload()
    assert "1 lost" in (page.locator("main").text_content() or "")


def test_every_tick_has_its_undo(phone: Phones, kitchen: Kitchen) -> None:
    page = opened(phone(kitchen), kitchen.address(LIST))
    tap(page, "b1")
    tap(page, "b1")
    until_sent(page)
    for look in ("begun", "open"):
        page.wait_for_timeout(750)
        job(page, "b1").get_by_role("button", name="Undo").click()
        shown(page, "b1", look)
        until_sent(page)
    assert [event for _, event, _ in stored_events(kitchen)] == [
        "started",
        "staged",
        "undone",
        "undone",
    ]


def test_without_a_network_the_page_goes_on_and_says_so(phone: Phones, kitchen: Kitchen) -> None:
    """The row shows the tap at once, the page says how many wait and since when it is old."""
    profile = phone(kitchen)
    page = opened(profile, kitchen.address(LIST))
    profile.set_offline(True)
    tap(page, "b1")
    tap(page, "b2")
    shown(page, "b1", "begun")
    page.get_by_text("2 ticks wait on this device").wait_for()
    page.locator("#waiting", has_text="Not connected since").wait_for()
    assert job(page, "b1").get_attribute("hx-morph-skip") is not None
    assert stored_events(kitchen) == []
    profile.set_offline(False)
    until_sent(page)
    page.locator("#waiting").wait_for(state="hidden")
    assert [(event, batch) for _, event, batch in stored_events(kitchen)] == [
        ("started", "b1"),
        ("started", "b2"),
    ]


def test_a_tick_that_waits_can_be_taken_back(phone: Phones, kitchen: Kitchen) -> None:
    profile = phone(kitchen)
    page = opened(profile, kitchen.address(LIST))
    profile.set_offline(True)
    tap(page, "b1")
    page.wait_for_timeout(750)
    job(page, "b1").get_by_role("button", name="Undo").click()
    shown(page, "b1", "open")
    profile.set_offline(False)
    until_sent(page)
    shown(page, "b1", "open")
    assert [event for _, event, _ in stored_events(kitchen)] == ["started", "undone"]


def test_taps_survive_a_killed_server_and_a_reload_that_finds_nothing(
    phone: Phones, own_kitchen: Kitchen
) -> None:
    """With the server gone a reload shows the browser's own error; the taps are still there."""
    page = opened(phone(own_kitchen), own_kitchen.address(LIST))
    own_kitchen.server.kill()
    tap(page, "b1")
    tap(page, "b2")
    page.get_by_text("2 ticks wait").wait_for()
    with pytest.raises(Error, match="ERR_CONNECTION_REFUSED"):
        page.reload()
    own_kitchen.server.start()
    page.goto(own_kitchen.address(LIST))
    until_painted(page)
    shown(page, "b1", "begun")
    until_sent(page)
    assert sorted(batch for _, _, batch in stored_events(own_kitchen)) == ["b1", "b2"]


class BadNetwork:
    """Loses three requests in ten, and the answers of two in ten that arrive."""

    def __init__(self, kitchen: Kitchen, profile: "BrowserContext") -> None:
        self.kitchen, self.profile = kitchen, profile
        self.chance = random.Random(SEED)
        self.lost_requests = self.lost_answers = 0

    def __call__(self, route: "Route") -> None:
        """Let a request through, lose it, or lose its answer."""
        luck = self.chance.random()
        if 0.3 <= luck < 0.5:
            self.lost_answers += 1
            self.arrive(route.request)
        elif luck < 0.3:
            self.lost_requests += 1
        if luck < 0.5:
            route.abort("connectionreset")
        else:
            route.continue_()

    def arrive(self, request: "Request") -> None:
        """Bring a request to the server, whose answer nobody will hear."""
        cookies = {each["name"]: each["value"] for each in self.profile.cookies()}
        host = self.kitchen.server.kitchen_url.removeprefix("http://")
        headers = {"Host": host, "Origin": self.kitchen.server.kitchen_url}
        address = self.kitchen.server.url + urlsplit(request.url).path
        with contextlib.suppress(httpx.TransportError):
            body = request.post_data_buffer
            httpx.post(address, content=body, headers=headers, cookies=cookies)


def test_every_tap_is_stored_once_through_a_bad_network_kills_and_reloads(
    phone: Phones, own_kitchen: Kitchen
) -> None:
    """Two phones tap all rows; requests and answers are lost, the server dies, pages reload."""
    networks, pages = [], []
    for person in ("cook-1", "Zoe"):
        profile = phone(own_kitchen, person)
        networks.append(BadNetwork(own_kitchen, profile))
        profile.route("**/ticks", networks[-1])
        pages.append(opened(profile, own_kitchen.address("board?day=all")))
    batches = [f"b{number}" for number in range(1, 10)]
    for number, batch in enumerate(batches):
        page = pages[number % 2]
        tap(page, batch)
        if number == 3:
            own_kitchen.server.kill()
        if number == 5:
            own_kitchen.server.start()
        if number in (2, 7):
            page.wait_for_timeout(150)
            page.reload()
            until_painted(page)
    for page in pages:
        until_sent(page, 60)
    assert sum(each.lost_requests for each in networks) > 0
    assert sum(each.lost_answers for each in networks) > 0
    stored = [(event, batch) for _, event, batch in stored_events(own_kitchen)]
    assert sorted(stored) == sorted(("started", batch) for batch in batches)
