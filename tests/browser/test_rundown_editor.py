"""A rundown and a kitchen built in a browser: added, changed, duplicated, deleted, brought back."""

import os
import re
from typing import TYPE_CHECKING

from playwright.sync_api import expect

from tests.browser.looking import eye, findings, is_too_wide, looks_well
from tests.live import Server

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

RUNDOWN, KITCHEN = "/productions/1/rundown", "/productions/1/kitchen"
PLAN_MS = 90_000


def test_a_rundown_is_built(server: Server, browser_page: "Page") -> None:
    """Tests a run added, its facts typed, an overlap told, a deletion taken back, a day again."""
    page = browser_page
    page.goto(server.url + RUNDOWN)
    page.locator("#add-kind").select_option("pickup")
    page.locator("#add-hour").fill("15.35")
    page.locator("#add-name").fill("Close-ups")
    page.locator("#add-run").get_by_role("button", name="Add").click()
    expect(page.get_by_text("added Close-ups, a pickup")).to_be_visible()
    page.get_by_text("Change Close-ups").click()
    expect(page.get_by_label("Close-ups: starts at its first beat")).to_be_checked()
    page.get_by_label("Close-ups: beats").fill("from tie")
    page.get_by_label("Close-ups: beats").press("Tab")
    expect(page.get_by_label("Close-ups: beats")).to_have_value("from tie")
    expect(page.locator("#beside")).to_contain_text("Close-ups starts at 15:35, while knots-take-2")
    page.get_by_label("Close-ups: starts at", exact=True).fill("16h10")
    page.get_by_label("Close-ups: starts at", exact=True).press("Tab")
    expect(page.locator("#beside")).not_to_contain_text("Close-ups starts at 15:35")
    assert page.locator(".runs .run").last.get_by_role("time").inner_text() == "16:10"
    assert findings(page) == []
    page.get_by_label("Close-ups: duplicate, delete").click()
    page.get_by_role("button", name="Delete", exact=True).click()
    expect(page.locator(".run")).to_have_count(2)
    expect(page.get_by_text("added Close-ups, a pickup")).to_have_count(1)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".run")).to_have_count(3)
    expect(page.get_by_text("added Close-ups, a pickup")).to_have_count(0)
    page.get_by_text("Duplicate Thu 4 March").click()
    page.get_by_label("On", exact=True).fill("2027-03-05")
    page.get_by_role("button", name="Duplicate this day").click()
    expect(page.locator(".run")).to_have_count(6)
    page.set_viewport_size({"width": 360, "height": 740})
    assert not is_too_wide(page)
    page.locator(".run summary").filter(has_text="Change").first.click()
    assert not is_too_wide(page)
    assert findings(page) == []


ROOM_AROUND = """Math.min(...[...document.querySelectorAll('.unit .handle')].map((handle) =>
  handle.getBoundingClientRect().left - handle.closest('.unit').getBoundingClientRect().left))"""


def test_a_kitchen_is_built(server: Server, browser_page: "Page") -> None:
    """Tests an item added and closed for a day by one tap, a person's shift, a shelf redrawn."""
    page = browser_page
    page.goto(server.url + KITCHEN)
    page.get_by_label("Add an item, its name").fill("Big oven")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Big oven: closed Thu 4 March").click()
    expect(page.get_by_label("Big oven, closed Thu 4 March: start")).to_have_value(
        "Thu 4 March, 00:00"
    )
    page.get_by_label("Add a person, its name").fill("Ines")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Ines: Thu 4 March")).to_have_count(0)
    until = page.get_by_label("Ines, works Thu 4 March: end")
    until.fill("2.30 pm")
    until.press("Tab")
    expect(until).to_have_value("2.30 pm")
    page.get_by_label("rack-1: slots of each level").fill("6, 4, 2")
    page.keyboard.press("Tab")
    expect(page.get_by_role("img", name="rack-1 from the front: 3 levels")).to_be_visible()
    assert page.evaluate(ROOM_AROUND) >= 4
    assert findings(page) == []
    page.set_viewport_size({"width": 360, "height": 740})
    page.emulate_media(color_scheme="dark")
    assert not is_too_wide(page)
    assert findings(page) == []


def test_a_shelf_grows_and_shrinks_by_a_tap(server: Server, browser: "Browser") -> None:
    """Tests taps in a row, quicker than they are drawn, what was typed before, and undo.

    The buttons stay where they are, so that a quick finger never hits the next one.
    """
    page, complaints = eye(browser, 360, 740, "light")
    page.goto(server.url + KITCHEN)
    slots = page.get_by_label("rack-1: slots of each level")
    slots.fill("2 levels of 3")
    slots.press("Tab")
    drawn = page.get_by_role("img", name="rack-1 from the front:")
    expect(drawn).to_have_accessible_name(re.compile("2 levels, from the top 3, 3 slots"))
    for name in ("level more", "level more", "slot on each level fewer"):
        page.get_by_role("button", name=f"rack-1: one {name}").tap()
    expect(slots).to_have_value("2, 2, 2, 2")
    expect(drawn).to_have_accessible_name(re.compile("4 levels, from the top 2, 2, 2, 2 slots"))
    fewer = page.get_by_role("button", name="rack-1: one level fewer")
    before = fewer.bounding_box()
    for _ in range(5):
        fewer.tap()
    expect(slots).to_have_value("2")
    expect(drawn).to_have_accessible_name(re.compile("1 level, from the top 2 slots"))
    assert fewer.bounding_box() == before
    looks_well(page, complaints, 360)
    page.get_by_role("button", name="Undo").tap()
    expect(slots).to_have_value("2, 2")
    page.context.close()


def test_what_was_told_of_a_row_goes_with_the_next_one(
    server: Server, browser_page: "Page"
) -> None:
    """Tests that nobody takes what was not understood of one item for the next one's."""
    page = browser_page
    page.goto(server.url + KITCHEN)
    name, banner = page.get_by_label("Add an item, its name"), page.locator("#banner")
    name.fill("Deck oven, 0 units")
    name.press("Enter")
    expect(banner).to_contain_text("Not understood, so it stands in the name: “0 units”.")
    name.fill("Hob")
    name.press("Enter")
    expect(page.get_by_label("Hob: name")).to_be_visible()
    expect(banner).to_be_empty()


def test_a_shared_kitchen_follows_what_another_production_changes(
    server: Server, browser_page: "Page"
) -> None:
    """Tests that it is told, not found by asking again, and that what is being typed stays."""
    page = browser_page
    page.add_init_script("window.setInterval = () => 0")
    page.goto(server.url)
    page.locator("summary", has_text="Copy, export, remove").click()
    page.get_by_role("button", name="Copy it").click()
    page.wait_for_url("**/productions/2/rundown")
    with page.expect_response(lambda answer: "/live" in answer.url):
        page.goto(f"{server.url}/productions/2/kitchen")
    expect(page.get_by_text("Also the kitchen of")).to_be_visible()
    units = page.get_by_label("deck-oven: units")
    units.fill("4")
    other = page.context.new_page()
    other.goto(server.url + KITCHEN)
    name = other.get_by_label("deck-oven: name")
    name.fill("Stone oven")
    page.bring_to_front()
    units.press("End")
    name.evaluate("field => field.dispatchEvent(new Event('change', { bubbles: true }))")
    expect(page.get_by_label("Stone oven: name")).to_have_value("Stone oven")
    expect(page.locator("#saved")).to_contain_text("to Stone oven, in “Harvest hour”.")
    assert page.evaluate("document.activeElement.value") == "4"
    page.keyboard.press("Tab")
    expect(page.locator("#saved")).to_have_text("All saved")
    expect(page.get_by_label("Stone oven: units")).to_have_value("4")


def test_a_draft_follows_in_the_other_production_of_a_kitchen(
    server: Server, browser_page: "Page"
) -> None:
    """Tests that the plan stays, that a draft comes by itself, why it does, and its acceptance."""
    page = browser_page
    page.goto(server.url)
    page.locator("summary", has_text="Copy, export, remove").click()
    page.get_by_role("button", name="Copy it").click()
    page.wait_for_url("**/productions/2/rundown")
    page.get_by_role("button", name="Work out the plan").click()
    page.get_by_role("button", name="Accept").click(timeout=PLAN_MS)
    page.wait_for_url("**/productions/2/count")
    page.goto(server.url + KITCHEN)
    units = page.get_by_label("deck-oven: units")
    units.fill("3")
    units.press("Tab")
    expect(page.locator("#saved")).to_have_text("All saved")
    page.goto(f"{server.url}/productions/2/kitchen")
    plan = page.locator("#plan")
    expect(plan).to_contain_text("was changed since plan 1 was worked out:")
    expect(plan).to_contain_text("to 3, in “Harvest hour”.")
    assert findings(page) == []
    expect(page.get_by_role("button", name="Accept")).to_be_visible(timeout=PLAN_MS)
    expect(plan).to_contain_text("A draft of plan 2 is ready")
    expect(plan).to_contain_text("This draft is here because the kitchen")
    for width, scheme in ((1440, "light"), (360, "dark")):
        page.set_viewport_size({"width": width, "height": 740})
        page.emulate_media(color_scheme=scheme)
        assert not is_too_wide(page)
        assert findings(page) == []
        if folder := os.environ.get("STAGELARDER_PICTURES"):
            page.screenshot(path=f"{folder}/draft-follows-{width}.png")
    page.get_by_role("button", name="Accept").click()
    page.wait_for_url("**/productions/2/count")
    expect(page.locator("#plan")).not_to_contain_text("was changed")
