"""What a producer does, in a real browser."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.looking import findings, is_too_wide
from tests.live import Server

MARK = "window.isTheSamePage = true"
IS_SAME = "window.isTheSamePage === true"


@pytest.fixture
def page(browser_page: Page) -> Iterator[Page]:
    """Yield an empty page at a laptop's size; nothing on it may break the page's policy."""
    complaints: list[str] = []
    browser_page.on("console", lambda message: complaints.append(message.text))
    browser_page.on("pageerror", lambda error: complaints.append(f"error: {error}"))
    browser_page.set_default_timeout(10_000)
    yield browser_page
    assert [each for each in complaints if "Security" in each or "error: " in each] == []


def _move(page: Page, hour: str, which: str) -> None:
    row = page.locator("#run-knots-take-1")
    row.get_by_text("Move", exact=False).first.click()
    row.get_by_label("Starts at", exact=True).fill(hour)
    row.get_by_role("button", name=which).click()


def test_a_run_is_moved_without_leaving_the_page(page: Page, server: Server) -> None:
    """The row changes, the words say what happened, and a reload shows the same."""
    page.goto(f"{server.url}/productions/1/rundown")
    page.evaluate(MARK)
    _move(page, "14:20", "Move it and all after")
    expect(page.get_by_text("The producer moved knots-take-1 from 14:00 to 14:20")).to_be_focused()
    assert page.evaluate(IS_SAME)
    expect(page.locator("#run-knots-take-2 time")).to_have_text("15:50")
    page.reload()
    expect(page.locator("#run-knots-take-1 time")).to_have_text("14:20")


def test_a_time_that_cannot_be_keeps_what_was_typed(page: Page, server: Server) -> None:
    """The fault stands beside its field, and the field has the focus."""
    page.goto(f"{server.url}/productions/1/rundown")
    _move(page, "soon", "Move this one")
    field = page.locator("#run-knots-take-1").get_by_label("Starts at", exact=True)
    expect(field).to_have_value("soon")
    expect(field).to_be_focused()
    expect(page.locator("#run-knots-take-1 [role=alert]")).to_contain_text("such as 14:20")


def test_the_back_button_never_shows_a_bare_part(page: Page, server: Server) -> None:
    """From a swap chart's part away, and back again to the whole page."""
    page.goto(f"{server.url}/productions/1/count")
    page.get_by_role("link", name="All about Cardamom knots").click()
    expect(page.get_by_role("heading", name="Beats")).to_be_visible()
    page.go_back()
    expect(page.get_by_role("heading", name="48 copies to make")).to_be_visible()
    expect(page.get_by_role("navigation")).to_be_visible()


def test_a_sum_opens_by_keyboard(page: Page, server: Server) -> None:
    """Tab to the number, Enter opens it, the space bar closes it."""
    page.goto(f"{server.url}/productions/1/count")
    number = page.locator('[data-opens="sum-knots.rested"]')
    number.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#sum-knots\\.rested")).to_be_visible()
    expect(number).to_have_attribute("aria-expanded", "true")
    page.keyboard.press("Space")
    expect(page.locator("#sum-knots\\.rested")).to_be_hidden()


def test_everything_on_the_rundown_is_reached_by_tab(page: Page, server: Server) -> None:
    """In the order that it is read in, the first stop leads past the head."""
    page.goto(f"{server.url}/productions/1/rundown")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the content")).to_be_focused()
    page.keyboard.press("Enter")
    wanted = ["Work the plan out again", "Who changed what", "Not as planned: knots-ta"]
    wanted += ["Move knots-take-1", "Change knots-take-1"]
    wanted += ["Not as planned: knots-ta", "Move knots-take-2", "Add"]
    stops = []
    for _ in range(28):
        page.keyboard.press("Tab")
        stops.append(page.evaluate("document.activeElement.textContent.trim().slice(0, 24)"))
    assert [each for each in stops if each in wanted] == wanted


def test_a_bad_file_lists_its_faults_and_keeps_the_choice(
    page: Page, server: Server, tmp_path: Path
) -> None:
    """Beside the form, which stays as it was."""
    bad = tmp_path / "bad.day.json"
    bad.write_text('{"format": "day/1", "title": 3, "kind": "play"}', "utf-8")
    page.goto(server.url)
    page.get_by_label("From a day file").set_input_files(bad)
    page.evaluate(MARK)
    page.get_by_role("button", name="Read the file").click()
    expect(page.get_by_text("bad.day.json was refused; nothing of it was stored")).to_be_visible()
    assert page.locator(".faults li").count() >= 3
    assert page.evaluate(IS_SAME)
    assert page.get_by_label("From a day file").input_value().endswith("bad.day.json")


def test_an_export_comes_in_again(page: Page, server: Server, tmp_path: Path) -> None:
    """The file of one production makes another."""
    page.goto(server.url)
    page.locator("summary", has_text="Copy, export, remove").click()
    with page.expect_download() as started:
        page.get_by_role("link", name="Day file").click()
    file = tmp_path / "again.day.json"
    started.value.save_as(file)
    page.get_by_label("From a day file").set_input_files(file)
    page.get_by_role("button", name="Read the file").click()
    page.wait_for_url("**/productions/2/rundown")
    expect(page.get_by_text("No plan yet")).to_be_visible()


def test_a_network_that_goes_is_said_and_its_return_too(page: Page, server: Server) -> None:
    """The old state: since when, and that nothing is lost."""
    page.goto(f"{server.url}/productions/1/rundown")
    page.context.set_offline(True)
    expect(page.get_by_text("Not connected since")).to_be_visible()
    page.context.set_offline(False)
    expect(page.get_by_text("Not connected since")).to_be_hidden()


def test_a_refusal_is_a_banner_and_the_page_stays(page: Page, server: Server) -> None:
    """A row that is gone answers in a sentence above the page."""
    page.goto(f"{server.url}/productions/1/rundown")
    page.evaluate(
        "document.querySelector('#run-knots-take-1 form')"
        ".setAttribute('hx-post', '/productions/1/rundown/gone')"
    )
    _move(page, "14:20", "Move this one")
    expect(page.locator("#banner [role=alert]")).to_contain_text("There is no run")
    expect(page.locator("#run-knots-take-1 time")).to_have_text("14:00")


@pytest.mark.parametrize("size", [(1440, 900), (360, 740)])
def test_states_that_are_not_full_are_as_accessible(
    page: Page, server: Server, tmp_path: Path, size: tuple[int, int]
) -> None:
    """Empty, wrong and refused: a copy without plan, a bad file, a bad time, no production."""
    page.set_viewport_size({"width": size[0], "height": size[1]})

    def look() -> None:
        assert findings(page) == []
        assert not is_too_wide(page)

    page.goto(f"{server.url}/productions/1/rundown")
    _move(page, "soon", "Move this one")
    expect(page.get_by_text("such as 14:20")).to_be_visible()
    look()
    page.goto(server.url)
    bad = tmp_path / "bad.day.json"
    bad.write_text('{"format": "day/1", "title": 3}', "utf-8")
    page.get_by_label("From a day file").set_input_files(bad)
    page.get_by_role("button", name="Read the file").click()
    expect(page.get_by_text("was refused")).to_be_visible()
    page.locator("summary", has_text="Copy, export, remove").click()
    look()
    page.get_by_role("button", name="Copy it").click()
    page.wait_for_url("**/productions/2/rundown")
    page.goto(f"{server.url}/productions/2/count")
    expect(page.get_by_text("No plan yet")).to_be_visible()
    look()
    page.goto(server.url)
    for left in (1, 0):
        page.get_by_text("Copy, export, remove").first.click()
        page.get_by_role("button", name="Remove").first.click()
        expect(page.locator(".productions > li")).to_have_count(left)
    expect(page.get_by_text("No production yet")).to_be_visible()
    look()


def test_two_browsers_move_the_same_run(browser: Browser, server: Server) -> None:
    """The second is asked, keeps the typing, and may insist."""
    pages = [browser.new_context().new_page() for _ in range(2)]
    for each in pages:
        each.goto(f"{server.url}/productions/1/rundown")
    run = pages[1].locator("#run-knots-take-1")
    run.get_by_text("Move", exact=False).first.click()
    run.get_by_label("Starts at", exact=True).fill("14:40")
    _move(pages[0], "14:20", "Move this one")
    expect(pages[0].get_by_text("from 14:00 to 14:20").first).to_be_visible()
    expect(run.locator("time").first).to_have_text("14:20")
    run.get_by_role("button", name="Move this one").click()
    expect(pages[1].locator("#run-knots-take-1 [role=alert]")).to_contain_text("while you were")
    pages[1].get_by_role("button", name="Move this one").first.click()
    expect(pages[1].get_by_text("from 14:20 to 14:40").first).to_be_visible()
    for each in pages:
        each.context.close()


def test_a_moved_run_is_planned_again_and_accepted(page: Page, server: Server) -> None:
    """Moved, planned in the background, told in words, accepted: plan 2 on every screen."""
    other = page.context.new_page()
    other.goto(f"{server.url}/productions/1/count")
    other.evaluate(MARK)
    page.goto(f"{server.url}/productions/1/rundown")
    _move(page, "14:05", "Move this one")
    page.evaluate(MARK)
    page.get_by_role("button", name="Work the plan out again").click()
    expect(page.get_by_role("button", name="Stop, keep the best")).to_be_visible()
    assert findings(page) == []
    expect(page.get_by_role("heading", name="A draft of plan 2 is ready")).to_be_visible(
        timeout=90_000
    )
    assert page.evaluate(IS_SAME)
    assert page.locator("#plan .changes li").count() >= 1
    assert findings(page) == []
    page.get_by_role("button", name="Accept").click()
    page.wait_for_url("**/productions/1/count")
    expect(page.get_by_text("Plan 2.")).to_be_visible()
    expect(other.get_by_text("Plan 2.")).to_be_visible(timeout=1_500)
    assert other.evaluate(IS_SAME)


@pytest.mark.parametrize(
    ("screen", "words"),
    [("rundown", "Work the plan out again"), ("count", "Work it out again")],
)
def test_a_draft_outlives_the_server_and_after_a_discard_another_is_offered(
    browser_page: Page, server: Server, screen: str, words: str
) -> None:
    """While one waits, the button for another is away; what was being worked out is told lost."""
    page = browser_page
    again = page.get_by_role("button", name=words, exact=True)
    page.goto(f"{server.url}/productions/1/{screen}")
    again.click()
    page.get_by_role("button", name="Stop, keep the best").click()
    ready = page.get_by_role("heading", name="A draft of plan 2 is ready")
    expect(ready).to_be_visible(timeout=90_000)
    expect(again).to_be_hidden()
    page.wait_for_timeout(500)
    server.kill()
    server.start()
    page.reload()
    expect(ready).to_be_visible()
    page.get_by_role("button", name="Discard").click()
    again.click()
    page.get_by_role("button", name="Stop, keep the best").wait_for()
    server.kill()
    server.start()
    page.reload()
    expect(page.get_by_text("The server ended while this plan was")).to_be_visible()
    assert findings(page) == []
    page.get_by_role("button", name="Leave it").click()
    expect(again).to_be_visible()


def test_a_double_click_adds_one_production(page: Page, server: Server) -> None:
    """The button rests while it is sent, and the same sending is the same change."""
    page.goto(server.url)
    page.get_by_role("button", name="A class of eight benches").dblclick()
    page.wait_for_url("**/productions/2/count")
    page.goto(server.url)
    expect(page.locator(".productions > li")).to_have_count(2)


def test_without_script_the_same_can_be_done(browser: Browser, server: Server) -> None:
    """Forms and links work by themselves: a run is moved, a sum opened, an example added."""
    profile = browser.new_context(java_script_enabled=False)
    page = profile.new_page()
    page.goto(f"{server.url}/productions/1/rundown")
    _move(page, "14:20", "Move this one")
    expect(page.get_by_text("The producer moved knots-take-1 from 14:00 to 14:20")).to_be_visible()
    expect(page.get_by_role("navigation")).to_be_visible()
    page.goto(f"{server.url}/productions/1/count")
    page.locator('[data-opens="sum-knots.rested"]').click()
    expect(page.locator("#sum-knots\\.rested")).to_be_visible()
    page.goto(server.url)
    page.get_by_role("button", name="A class of eight benches").click()
    page.wait_for_url("**/productions/2/count")
    profile.close()
