"""What a thermometer shows is tapped in with wet hands, and taken back."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from tests.browser.kitchen import Kitchen, stored_events, until_sent

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext

Phones = Callable[..., "BrowserContext"]


def test_a_reading_is_tapped_kept_and_taken_back(phone: Phones, kitchen: Kitchen) -> None:
    page = phone(kitchen).new_page()
    page.goto(kitchen.address("copies/KN-4"))
    for key in ("minus", "4", "point", "5"):
        page.get_by_role("group", name="Keys for wet hands").get_by_role(
            "button", name=key, exact=True
        ).click()
    page.get_by_role("button", name="Keep it").click()
    page.locator(".readings b", has_text="-4.5 °C").wait_for()
    page.get_by_role("button", name="Undo -4.5 °C").click()
    page.locator(".readings").wait_for(state="detached")
    until_sent(page)
    assert [event for _, event, _ in stored_events(kitchen)] == ["measured", "undone"]


def test_what_is_no_number_is_told_and_stays(phone: Phones, kitchen: Kitchen) -> None:
    page = phone(kitchen).new_page()
    page.goto(kitchen.address("copies/KN-4"))
    shown = page.get_by_label("What the thermometer in it shows")
    shown.fill("warm")
    page.get_by_role("button", name="Keep it").click()
    assert "A number of °C" in page.locator("#probe-fault").inner_text()
    assert shown.input_value() == "warm"


def test_without_a_network_a_reading_waits_and_is_sent(phone: Phones, kitchen: Kitchen) -> None:
    profile = phone(kitchen)
    page = profile.new_page()
    page.goto(kitchen.address("copies/KN-4"))
    profile.set_offline(True)
    page.get_by_label("What the thermometer in it shows").fill("61,5")
    page.get_by_role("button", name="Keep it").click()
    page.locator("#waiting").get_by_text("1 tick waits").wait_for()
    profile.set_offline(False)
    page.locator(".readings b", has_text="61.5 °C").wait_for(timeout=60_000)
