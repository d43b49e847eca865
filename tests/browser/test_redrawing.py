"""What an editor shows once it says that all is saved, and what follows each edit."""

import json
import re
from typing import TYPE_CHECKING
from urllib.parse import urlencode
from urllib.request import Request, urlopen

from playwright.sync_api import expect

from tests.browser.looking import findings, is_too_wide
from tests.browser.test_editing import KNOTS, field, saved
from tests.live import Server

if TYPE_CHECKING:
    from playwright.sync_api import Page, Route

EDIT = "/productions/1/edit"
# Answers to what the page draws anew in passing, held back until a story lets them go.
PASSING = re.compile(r"/beside|/plan$")


def held_back(page: "Page", address: re.Pattern[str]) -> list["Route"]:
    """Hold back every answer to an address; each that is asked for is put on the list."""
    asked: list[Route] = []

    def hold(route: "Route") -> None:
        asked.append(route)

    page.route(address, hold)
    return asked


def let_go(page: "Page", address: re.Pattern[str], asked: list["Route"]) -> None:
    """Let everything through that was held back, and hold back nothing more."""
    for route in asked:
        route.continue_()
    page.unroute(address)


def wait_for(page: "Page", asked: list["Route"]) -> None:
    """Wait until something is held back."""
    for _ in range(300):
        if asked:
            return
        page.wait_for_timeout(50)
    raise AssertionError("nothing was asked for")


def test_what_is_said_to_be_saved_is_shown_whatever_else_is_on_its_way(
    server: Server, browser_page: "Page"
) -> None:
    """A row is added while the part beside the fields takes its time: it is there when saved."""
    page = browser_page
    page.goto(server.url + KNOTS)
    asked = held_back(page, PASSING)
    field(page, "rested: keeps").fill("90 min")
    field(page, "rested: keeps").press("Enter")
    saved(page)
    wait_for(page, asked)
    field(page, "Add a stage, its name").fill("Glazed")
    field(page, "Add a stage, its name").press("Enter")
    saved(page)
    assert field(page, "Glazed: keeps").count() == 1
    let_go(page, PASSING, asked)


def test_a_step_waits_for_the_drawing_that_was_begun_before_it(
    server: Server, browser_page: "Page"
) -> None:
    """The page is fetching what another changed when a row is deleted: it is drawn once more."""
    page, whole = browser_page, re.compile(r"/demonstrations/knots$")
    page.goto(server.url + KNOTS)
    place = page.locator(".cell", has=field(page, "tied: cost of a copy"))
    told = {
        "place": place.get_attribute("data-place"),
        "field": "cost",
        "text": "3",
        "began": place.get_attribute("data-began"),
        "once": "another",
    }
    asked = held_back(page, whole)
    sent = Request(server.url + EDIT + "/fill", urlencode(told).encode(), {"Origin": server.url})
    assert json.loads(urlopen(sent).read())["n"]
    wait_for(page, asked)
    field(page, "baked: move, duplicate, delete").click()
    with page.expect_response("**/edit/duplicate"):
        page.locator("#row-menu").get_by_role("button", name="Duplicate").click()
    page.wait_for_timeout(300)
    assert page.locator("#saved").inner_text() != "All saved"
    let_go(page, whole, asked)
    saved(page)
    assert field(page, "baked 2: keeps").count() == 1
    assert field(page, "tied: cost of a copy").input_value() == "3"


def test_the_swap_chart_follows_each_edit_and_then_the_draft(
    server: Server, browser_page: "Page"
) -> None:
    """Rough at once, told as such, with its words; of the draft as soon as one stands."""
    page = browser_page
    page.goto(server.url + KNOTS)
    picture = page.locator("#picture")
    expect(picture).to_contain_text("Drawn from plan 1")
    drawn = picture.locator(".swap-lines")
    before = drawn.inner_html()
    field(page, "baked: keeps").fill("20 min")
    field(page, "baked: keeps").press("Enter")
    expect(picture).to_contain_text("Rough: what the rough count supposes")
    assert drawn.inner_html() != before
    assert picture.get_by_role("img", name="Rough swap chart of Cardamom knots").count() == 1
    assert "scaled, made, " in str(picture.locator(".swap-words").text_content())
    assert findings(page) == []
    page.set_viewport_size({"width": 360, "height": 740})
    page.emulate_media(color_scheme="dark")
    assert not is_too_wide(page)
    assert findings(page) == []
    expect(picture).to_contain_text("Drawn from the draft of plan 2", timeout=60_000)
    page.get_by_role("button", name="Discard").click()
    expect(picture).to_contain_text("Rough: what the rough count supposes")


def test_what_a_row_is_called_follows_wherever_it_is_named(
    server: Server, browser_page: "Page"
) -> None:
    """A stage and its demonstration get other names; a way takes something else than its stage."""
    page = browser_page
    page.goto(server.url + KNOTS)
    field(page, "rested: name").fill("slept")
    field(page, "rested: name").press("Enter")
    expect(page.get_by_text("To get slept")).to_be_visible()
    expect(page.get_by_role("rowheader", name="Into slept")).to_be_visible()
    chosen = page.get_by_label("tied, made from rested: stage").locator("option:checked")
    expect(chosen).to_have_text("slept")
    saved(page)
    way = page.locator("tr.way-row").nth(1)
    way.get_by_text("Its own").click()
    way.get_by_label("takes something else").check()
    way.locator("form[data-add=inputs] button").click()
    saved(page)
    expect(way.locator("[data-row^='inputs/']")).to_have_count(1)
    field(page, "Cardamom knots: title").fill("Ginger ties")
    field(page, "Cardamom knots: title").press("Tab")
    expect(page.locator("h1")).to_have_text("Ginger ties")
    assert page.evaluate("document.activeElement.ariaLabel") == "Ginger ties: letters"


def test_the_hand_stays_with_a_way_that_moves_and_goes_on_from_one_that_goes(
    server: Server, browser_page: "Page"
) -> None:
    """Its steps move and go along with it: the hand comes to what is next, not to nothing."""
    page = browser_page
    page.goto(server.url + KNOTS)
    hand = "document.activeElement.ariaLabel"
    field(page, "mixed, by mixer: move, duplicate, delete").press("Enter")
    page.locator("#row-menu").get_by_role("button", name="Duplicate").press("Enter")
    saved(page)
    handle = field(page, "mixed, by mixer 2: move, duplicate, delete")
    handle.press("Alt+ArrowUp")
    saved(page)
    assert page.evaluate(hand) == "mixed, by mixer 2: move, duplicate, delete"
    handle.press("Enter")
    page.locator("#row-menu").get_by_role("button", name="Delete").press("Enter")
    saved(page)
    assert page.evaluate(hand) == "mixed, by mixer: name"


def test_who_looks_at_a_draft_sees_the_next_one(server: Server, browser_page: "Page") -> None:
    """Tests the count and the board: both follow what becomes of the draft, and its acceptance."""
    desk = browser_page
    desk.goto(server.url + KNOTS)
    count, board = desk.context.new_page(), desk.context.new_page()
    draft, known = desk.locator("#plan [name=draft]"), ""
    for keeps in ("20 min", "30 min"):
        field(desk, "baked: keeps").fill(keeps)
        field(desk, "baked: keeps").press("Enter")
        if keeps == "30 min":
            expect(count.locator("#planning")).to_contain_text("Work it out again")
        expect(draft).not_to_have_value(known, timeout=60_000)
        desk.get_by_role("button", name="Accept").wait_for(timeout=60_000)
        known = draft.input_value()
        if keeps == "20 min":
            count.goto(f"{server.url}/productions/1/count")
            board.goto(f"{server.url}/productions/1/plan/board")
            first = board.locator("#compare").inner_text()
    for page in (count, board):
        expect(page.get_by_role("button", name="Accept")).to_be_visible(timeout=60_000)
    drafts = [page.locator("#plan [name=draft]").input_value() for page in (desk, count, board)]
    assert len(set(drafts)) == 1
    assert board.locator("#compare").inner_text() != first
    with count.expect_navigation():
        count.get_by_role("button", name="Accept").click()
    expect(board.locator("#compare")).to_contain_text("There is no draft plan to look at.")


def test_a_word_without_an_end_makes_no_screen_wide(server: Server, browser_page: "Page") -> None:
    """Tests the list of changes as well, which tells what was typed."""
    page = browser_page
    page.goto(f"{server.url}/productions/1/kitchen")
    field(page, "deck-oven: name").fill("x" * 120)
    page.keyboard.press("Tab")
    saved(page)
    for width in (1440, 360):
        page.set_viewport_size({"width": width, "height": 740})
        for address in ("kitchen", "history"):
            page.goto(f"{server.url}/productions/1/{address}")
            expect(page.get_by_text("xxxxx").or_(page.get_by_label("xxxxx")).first).to_be_visible()
            assert not is_too_wide(page), (address, width)
