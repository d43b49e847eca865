"""A copy is dropped; a tick comes too late for its plan; a page is left and found again."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from tests.browser.kitchen import Kitchen, stored_events, until, until_sent
from tests.browser.test_outbox import job, opened, shown, tap

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

Phones = Callable[..., "BrowserContext"]


def test_a_dropped_copy_is_lost_and_is_not_after_all(phone: Phones, kitchen: Kitchen) -> None:
    page = phone(kitchen).new_page()
    page.goto(kitchen.address("copies/KN-4"))
    page.get_by_label("Lost it? Why").fill("dropped")
    page.get_by_role("button", name="Lost").click()
    page.locator(".copy-head .loud").wait_for()
    assert "cook-1: dropped" in page.locator(".copy-head").inner_text()
    page.get_by_role("button", name="Undo: it is not lost").click()
    page.get_by_label("Lost it? Why").wait_for()
    until_sent(page)
    assert [event for _, event, _ in stored_events(kitchen)] == ["lost", "undone"]


def test_a_lost_copy_is_marked_on_the_shelf_map(phone: Phones, kitchen: Kitchen) -> None:
    profile = phone(kitchen)
    page = profile.new_page()
    page.goto(kitchen.address("copies/KN-4"))
    page.get_by_role("button", name="Lost").click()
    page.locator(".copy-head .loud").wait_for()
    page.goto(kitchen.address("shelves?tag=KN-4"))
    assert page.locator(".stay .loud").inner_text() == "1 lost"


def _standing(page: "Page") -> list[str]:
    """Return what the shelf map shows: the hour, how much is taken, and each slot in words."""
    cells = page.locator("#hour, .taken, .shelf td").all_inner_texts()
    return [" ".join(cell.split()) for cell in cells]


def test_the_shelves_are_slid_over_without_a_network_as_with_one(
    phone: Phones, kitchen: Kitchen
) -> None:
    """What the page draws by itself is what the server draws for the same minutes."""
    profile = phone(kitchen)
    page = profile.new_page()
    page.goto(kitchen.address("shelves?tag=KN-4"))
    profile.set_offline(True)
    slider = page.get_by_label("Time of day")
    slider.focus()
    slider.press("Home")
    drawn = {}
    for _ in range(40):
        slider.press("ArrowRight")
        drawn[page.url] = _standing(page)
    while page.locator("#after").is_visible():
        page.locator("#after").click()
        drawn[page.url] = _standing(page)
    page.locator(".place a:visible").first.click()
    drawn[page.url] = _standing(page)
    assert page.locator(".place .is-now:visible").count() == 1
    assert len(drawn) > 40
    profile.set_offline(False)
    for address, standing in drawn.items():
        page.goto(address)
        assert _standing(page) == standing


def test_a_tag_that_cannot_be_looked_for_now_loses_nothing(phone: Phones, kitchen: Kitchen) -> None:
    """Without a network the page stays and says so; with one it finds the copy in place."""
    profile = phone(kitchen)
    page = profile.new_page()
    page.goto(kitchen.address("shelves"))
    profile.set_offline(True)
    page.get_by_label("Find a copy by its tag").fill("kn-4")
    page.get_by_role("button", name="Find").click()
    page.locator("#waiting").get_by_text("Not connected since").wait_for()
    assert page.get_by_label("Find a copy by its tag").input_value() == "kn-4"
    profile.set_offline(False)
    page.get_by_role("button", name="Find").click()
    page.get_by_role("region", name="Where KN-4 stands").wait_for()
    assert "tag=kn-4" in page.url


def test_a_copy_lost_meanwhile_is_marked_on_the_open_shelf_map(
    phone: Phones, kitchen: Kitchen
) -> None:
    """The minute that was slid to stays."""
    shelves, copy = phone(kitchen).new_page(), phone(kitchen, "Zoe").new_page()
    shelves.goto(kitchen.address("shelves?tag=KN-4"))
    shelves.locator("#after").click()
    at = shelves.locator("#hour").inner_text()
    copy.goto(kitchen.address("copies/KN-4"))
    copy.get_by_role("button", name="Lost").click()
    until(shelves, "document.querySelector('#stays').innerHTML.includes('1 lost')")
    assert shelves.locator("#hour").inner_text() == at


def test_a_tick_for_a_plan_that_is_void_is_told_and_not_stored(
    phone: Phones, kitchen: Kitchen
) -> None:
    """A phone without a network ticks plan 1; meanwhile plan 2 is accepted."""
    away = phone(kitchen, "Zoe")
    page = opened(away, kitchen.address("list?cook=cook-1"))
    away.set_offline(True)
    tap(page, "b1")
    shown(page, "b1", "begun")
    desk = phone(kitchen, "Producer").new_page()
    desk.goto(kitchen.address("count"))
    desk.get_by_role("button", name="Work it out again").click()
    desk.get_by_role("button", name="Accept").click(timeout=90_000)
    desk.get_by_text("Plan 2").first.wait_for()
    away.set_offline(False)
    page.get_by_text("This row is of plan 1; plan 2 holds now.").wait_for(timeout=20_000)
    page.locator('#floor[data-plan="2"]').wait_for()
    until_sent(page)
    shown(page, "b1", "open")
    assert stored_events(kitchen) == []


def test_the_back_button_shows_what_was_ticked_meanwhile(phone: Phones, kitchen: Kitchen) -> None:
    page = opened(phone(kitchen), kitchen.address("list?cook=cook-1"))
    tap(page, "b1")
    until_sent(page)
    page.goto(kitchen.address("shelves"))
    page.go_back()
    shown(page, "b1", "begun")
    assert page.locator("header.head").count() == 1


def test_two_tabs_of_one_phone_send_each_tap_once(phone: Phones, kitchen: Kitchen) -> None:
    profile = phone(kitchen)
    first = opened(profile, kitchen.address("list?cook=cook-1"))
    second = opened(profile, kitchen.address("board"))
    profile.set_offline(True)
    tap(first, "b1")
    tap(second, "b2")
    profile.set_offline(False)
    until_sent(first)
    until_sent(second)
    shown(second, "b1", "begun")
    shown(first, "b2", "begun")
    assert sorted(batch for _, _, batch in stored_events(kitchen)) == ["b1", "b2"]
    assert job(first, "b1").get_attribute("data-waits") is None
