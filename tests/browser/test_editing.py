"""A demonstration built in a browser: by keyboard, by two people, without a network, planned."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.looking import findings, is_too_wide
from tests.live import Server

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

KNOTS = "/productions/1/demonstrations/knots"


@pytest.fixture
def desk(server: Server, browser_page: "Page") -> Iterator["Page"]:
    """Yield a page with the knots open; it must not complain."""
    complaints: list[str] = []
    browser_page.on("pageerror", lambda error: complaints.append(str(error)))
    browser_page.goto(server.url + KNOTS)
    yield browser_page
    assert complaints == []


def saved(page: "Page") -> None:
    """Wait until all is saved."""
    page.wait_for_timeout(50)
    expect(page.locator("#saved")).to_have_text("All saved", timeout=30_000)


def field(page: "Page", label: str) -> "Locator":
    """Return a field by what it is called."""
    return page.get_by_label(label, exact=True)


def paste(page: "Page", text: str) -> None:
    """Paste a text into the field in hand, as a spreadsheet hands it over."""
    page.evaluate(
        """text => {
            const data = new DataTransfer();
            data.setData('text/plain', text);
            const sent = { clipboardData: data, bubbles: true, cancelable: true };
            document.activeElement.dispatchEvent(new ClipboardEvent('paste', sent));
        }""",
        text,
    )


def test_a_table_moves_like_a_spreadsheet(desk: "Page") -> None:
    """Tests arrows, Enter, what is typed beside what is understood, a block, undo and redo."""
    keeps = field(desk, "rested: keeps")
    keeps.fill("90 min")
    keeps.press("Enter")
    assert desk.evaluate("document.activeElement.ariaLabel") == "tied: keeps"
    desk.keyboard.press("ArrowUp")
    desk.keyboard.press("ArrowLeft")
    assert desk.evaluate("document.activeElement.ariaLabel") == "rested: waits"
    saved(desk)
    assert desk.locator(".cell", has=keeps).inner_text().strip() == "1 h 30"
    field(desk, "baked: name").press("Enter")
    assert desk.evaluate("document.activeElement.ariaLabel") == "Add a stage, its name"
    desk.keyboard.press("Enter")
    desk.keyboard.press("ArrowUp")
    assert desk.evaluate("document.activeElement.ariaLabel") == "baked: name"
    expect(desk.locator("tr[id^=stage-]")).to_have_count(5)
    field(desk, "tied: keeps").focus()
    paste(desk, "25 min\t24 to a slot\n1 day\t6\n")
    saved(desk)
    assert field(desk, "tied: keeps").input_value() == "25 min"
    assert field(desk, "tied: takes").input_value() == "24 to a slot"
    assert field(desk, "baked: keeps").input_value() == "1 day"
    field(desk, "Add a stage, its name").focus()
    paste(desk, "Glazed\t\t\t2 h\nBoxed\t\tchill\tfor ever\n")
    saved(desk)
    boxed = field(desk, "Boxed: keeps")
    assert boxed.input_value() == "for ever"
    assert "A length of time" in desk.locator(".cell", has=boxed).inner_text()
    assert field(desk, "Boxed: waits").input_value() == "chill"
    desk.keyboard.press("Control+z")
    saved(desk)
    expect(boxed).to_have_count(0)
    desk.get_by_role("button", name="Redo").click()
    saved(desk)
    assert field(desk, "Glazed: keeps").input_value() == "2 h"


def test_rows_move_and_go_by_keyboard_by_button_and_by_drag(desk: "Page") -> None:
    """Tests that each has its twin, and that a delete is taken back."""

    def order() -> list[str]:
        rows = desk.locator("tr[id^=stage-]").all()
        return [str(row.get_attribute("id")).removeprefix("stage-") for row in rows]

    field(desk, "baked: keeps").press("Alt+ArrowUp")
    saved(desk)
    assert order() == ["scaled", "mixed", "rested", "baked", "tied"]
    assert desk.evaluate("document.activeElement.ariaLabel") == "baked: keeps"
    field(desk, "baked: move, duplicate, delete").press("Enter")
    desk.locator("#row-menu").get_by_role("button", name="Down").press("Enter")
    saved(desk)
    assert order() == ["scaled", "mixed", "rested", "tied", "baked"]
    handle = field(desk, "baked: move, duplicate, delete")
    handle.drag_to(desk.locator("#stage-scaled"))
    saved(desk)
    assert order() == ["baked", "scaled", "mixed", "rested", "tied"]
    field(desk, "baked: move, duplicate, delete").click()
    desk.locator("#row-menu").get_by_role("button", name="Delete").click()
    saved(desk)
    assert order() == ["scaled", "mixed", "rested", "tied"]
    desk.get_by_role("button", name="Undo").click()
    saved(desk)
    assert order() == ["baked", "scaled", "mixed", "rested", "tied"]
    field(desk, "mixed: move, duplicate, delete").press("Enter")
    desk.locator("#row-menu").get_by_role("button", name="Duplicate").press("Enter")
    expect(desk.locator("tr[id^=stage-]")).to_have_count(6)
    desk.keyboard.press("Control+z")
    expect(desk.locator("tr[id^=stage-]")).to_have_count(5)
    assert desk.evaluate("document.activeElement.ariaLabel") == "rested: name"


def test_a_line_inside_a_cell_moves_and_is_duplicated_as_a_row_does(desk: "Page") -> None:
    """Tests inputs, needs and equipment: by key, by menu and by drag; deletes are taken back."""

    def order(table: str, above: str) -> list[str]:
        lines = desk.locator(f"{above} [data-row^='{table}/']").all()
        return [str(line.get_attribute("data-row")) for line in lines]

    field(desk, "reveal, needs baked: move, duplicate, delete").press("Enter")
    desk.locator("#row-menu").get_by_role("button", name="Duplicate").press("Enter")
    saved(desk)
    reveal = "tr:has([aria-label='reveal: at'])"
    baked, tied = order("needs", reveal)
    assert desk.evaluate("document.activeElement.ariaLabel") == "reveal, needs tied: how many"
    desk.keyboard.press("Alt+ArrowUp")
    saved(desk)
    assert order("needs", reveal) == [tied, baked]
    assert desk.evaluate("document.activeElement.ariaLabel") == "reveal, needs tied: how many"
    field(desk, "reveal, needs tied: move, duplicate, delete").press("Alt+ArrowDown")
    saved(desk)
    assert order("needs", reveal) == [baked, tied]
    handle = field(desk, "reveal, needs tied: move, duplicate, delete")
    assert handle.evaluate("each => each === document.activeElement")
    handle.drag_to(desk.locator(f"[data-row='{baked}']"))
    saved(desk)
    assert order("needs", reveal) == [tied, baked]
    field(desk, "reveal, needs tied: move, duplicate, delete").click()
    desk.locator("#row-menu").get_by_role("button", name="Delete").click()
    saved(desk)
    assert order("needs", reveal) == [baked]
    desk.keyboard.press("Control+z")
    saved(desk)
    assert order("needs", reveal) == [tied, baked]
    field(desk, "mixed, by mixer, step 1: hold something more").click()
    saved(desk)
    step = "tr:has([aria-label='mixed, by mixer, step 1: lasts'])"
    mixer, oven = order("phase_equipment", step)
    field(desk, "mixed, by mixer, step 1, oven: kind").press("Alt+ArrowUp")
    saved(desk)
    assert order("phase_equipment", step) == [oven, mixer]
    field(desk, "tied: move, duplicate, delete").drag_to(
        desk.locator("#stage-mixed [data-row^='inputs/']")
    )
    saved(desk)
    stages = [
        each.split("-")[1]
        for each in desk.locator("tr[id^=stage-]").evaluate_all("rows => rows.map(each => each.id)")
    ]
    assert stages == ["scaled", "tied", "mixed", "rested", "baked"]


def test_two_people_change_one_demonstration(server: Server, browser: "Browser") -> None:
    """Tests that different fields merge, that the same field asks, and that nothing is lost."""
    ada, ben = (browser.new_context().new_page() for _ in range(2))
    for page in (ada, ben):
        page.goto(server.url + KNOTS)
    mine = field(ben, "rested: keeps")
    mine.fill("45 min")
    field(ada, "rested: cost of a copy").fill("3")
    field(ada, "rested: keeps").fill("40 min")
    field(ada, "rested: keeps").press("Enter")
    saved(ada)
    expect(field(ben, "rested: cost of a copy")).to_have_value("3")
    expect(mine).to_have_value("45 min")
    mine.press("Enter")
    keep_mine = ben.get_by_role("button", name="Keep mine")
    keep_mine.wait_for()
    told = ben.locator(".cell", has=mine).inner_text()
    assert "changed this while you were typing" in told
    assert "Theirs: 40 min. Yours: 45 min." in told
    keep_mine.click()
    saved(ben)
    expect(field(ada, "tied: keeps")).to_have_value("30 min")
    field(ada, "tied: look").focus()
    expect(field(ada, "rested: keeps")).to_have_value("45 min")
    field(ada, "rested: keeps").fill("1 h")
    mine.fill("2 h")
    mine.press("Enter")
    saved(ben)
    field(ada, "rested: keeps").press("Enter")
    ada.get_by_role("button", name="Keep theirs").click()
    assert field(ada, "rested: keeps").input_value() == "2 h"
    for page in (ada, ben):
        page.context.close()


def test_the_hand_stays_at_the_buttons_that_take_back(server: Server, desk: "Page") -> None:
    """Where nothing more can be taken back, it goes on from the one that makes it again."""
    field(desk, "rested: keeps").fill("50 min")
    field(desk, "rested: keeps").press("Enter")
    undo = desk.get_by_role("button", name="Undo")
    expect(undo).to_be_enabled()
    undo.press("Enter")
    expect(undo).to_be_disabled()
    expect(desk.get_by_role("button", name="Redo")).to_be_focused()
    desk.keyboard.press("Enter")
    expect(field(desk, "rested: keeps")).to_have_value("50 min")
    expect(undo).to_be_focused()
    desk.goto(f"{server.url}/productions/1/history")
    take_back = desk.get_by_role("button", name="Take back", exact=False).first
    take_back.press("Enter")
    expect(desk.locator("#did")).to_contain_text("took back")
    expect(desk.locator("[data-undo]:focus")).to_have_count(1)


def test_what_is_typed_without_a_network_is_kept_and_saved_later(
    server: Server, desk: "Page"
) -> None:
    """Tests a server that is killed while somebody types, and started again."""
    server.kill()
    keeps = field(desk, "rested: keeps")
    keeps.fill("50 min")
    keeps.press("Enter")
    desk.get_by_text("Not saved yet").wait_for()
    assert keeps.input_value() == "50 min"
    expect(desk.locator(".cell.is-unsaved")).to_have_count(1)
    expect(desk.get_by_text("Not connected since")).to_be_in_viewport()
    server.start()
    saved(desk)
    expect(desk.locator(".cell.is-unsaved")).to_have_count(0)
    desk.reload()
    assert field(desk, "rested: keeps").input_value() == "50 min"


def test_a_plan_follows_when_edits_stop(desk: "Page") -> None:
    """Tests the rough count at once, the draft in the background, the board, and its acceptance."""
    rough = desk.locator(".rough")
    assert "48 in cost" in rough.inner_text()
    field(desk, "baked: keeps").fill("20 min")
    field(desk, "baked: keeps").press("Enter")
    expect(rough).not_to_contain_text("48 in cost")
    desk.get_by_role("button", name="Accept").wait_for(timeout=60_000)
    assert "What changes" in desk.locator("#plan").inner_text()
    desk.get_by_role("link", name="See it on the board").click()
    assert desk.locator(".fate-new").count() > 1
    assert desk.locator(".fate-moved").count() > 1
    assert not is_too_wide(desk)
    assert findings(desk) == []
    desk.get_by_role("button", name="Accept").click()
    desk.wait_for_url("**/count")
    desk.get_by_text("Plan 2", exact=False).first.wait_for()


def _add_demonstration(page: "Page", server: Server) -> None:
    page.goto(f"{server.url}/productions/1/demonstrations")
    page.get_by_label("Add a demonstration, its name").fill("Plum tart")
    page.keyboard.press("Enter")
    page.wait_for_url("**/plum-tart")


def test_what_takes_a_demonstration_away_leads_from_its_page_to_the_list(
    server: Server, browser: "Browser"
) -> None:
    """An undo of one's own, or another's delete; what is typed there keeps its page."""
    ada, ben = (browser.new_context().new_page() for _ in range(2))
    _add_demonstration(ada, server)
    ada.get_by_role("button", name="Undo").click()
    ada.wait_for_url("**/demonstrations")
    expect(ada.locator("#did")).to_contain_text("took back")
    ada.get_by_role("button", name="Redo").click()
    expect(ada.get_by_role("link", name="Plum tart")).to_be_visible()
    ben.goto(f"{server.url}/productions/1/demonstrations")
    ada.goto(f"{server.url}/productions/1/demonstrations/plum-tart")
    title = field(ada, "Plum tart: title")
    title.fill("Plum pie")
    field(ben, "Plum tart: move, duplicate, delete").click()
    ben.locator("#row-menu").get_by_role("button", name="Delete").click()
    saved(ben)
    expect(ada.locator("#banner")).to_contain_text("There is no such demonstration.")
    title.press("Enter")
    expect(ada.locator(".cell-title")).to_contain_text("What you typed is still on this page.")
    assert title.input_value() == "Plum pie"
    ben.get_by_role("button", name="Undo").click()
    title.fill("Plum cake")
    title.press("Enter")
    saved(ada)
    expect(ada.locator("#banner")).to_be_empty()
    field(ben, "Plum cake: move, duplicate, delete").click()
    ben.locator("#row-menu").get_by_role("button", name="Delete").click()
    ada.wait_for_url("**/demonstrations")
    expect(ada.locator("#did")).to_contain_text("deleted Plum cake")
    for page in (ada, ben):
        page.context.close()
