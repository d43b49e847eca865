"""Runs on the time line are dragged by mouse and by finger, and moved by keys and by buttons."""

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.looking import eye, findings, is_too_wide
from tests.live import Server

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

RUNDOWN = "/productions/1/rundown"
TAKE = "#bar-knots-take-1"


def times(page: "Page") -> list[str]:
    """Return when the runs start, as the rows say it."""
    return [each.inner_text() for each in page.locator(".runs .run > time").all()]


def saved(page: "Page", *starts: str) -> None:
    """Wait until the rows say these times."""
    for number, hour in enumerate(starts):
        expect(page.locator(".runs .run > time").nth(number)).to_have_text(hour)
    expect(page.locator("#saved")).to_have_text("All saved")


def grasp(page: "Page", run: str = TAKE) -> tuple[float, float, float]:
    """Return where a bar can be taken hold of, and how many pixels five minutes are."""
    page.locator(run).scroll_into_view_if_needed()
    x, y, wide = page.evaluate(
        """run => {
            const box = document.querySelector(`${run} .runline-run`).getBoundingClientRect();
            const line = document.getElementById("runline");
            const wide = line.getBoundingClientRect().width / line.viewBox.baseVal.width;
            return [box.x + 2, box.y + box.height / 2, wide * Number(line.dataset.scale) * 5];
        }""",
        run,
    )
    return x, y, wide


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (360, 740)])
def test_a_run_is_dragged_by_mouse(
    server: Server, browser: "Browser", width: int, height: int
) -> None:
    """It snaps, shows its new time, is given up by Escape, and is taken back as a typed time."""
    page = browser.new_context(viewport={"width": width, "height": height}).new_page()
    page.goto(server.url + RUNDOWN)
    x, y, five = grasp(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 3.3 * five, y, steps=4)
    expect(page.locator(TAKE)).to_contain_text("14:15 knots-take-1")
    expect(page.locator("#runline-said")).to_have_text("knots-take-1: 14:15, before 14:00")
    page.keyboard.press("Escape")
    page.mouse.up()
    expect(page.locator("#runline-said")).to_have_text("knots-take-1 stays at 14:00.")
    assert times(page) == ["14:00", "15:30"]
    x, y, five = grasp(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 3.8 * five, y, steps=4)
    page.mouse.up()
    saved(page, "14:20", "15:30")
    expect(page.locator("#runline-said")).to_contain_text("moved knots-take-1 from 14:00 to 14:20")
    page.get_by_role("button", name="Undo").click()
    saved(page, "14:00", "15:30")
    page.get_by_label("what starts with it or after it that day moves as far").check()
    x, y, five = grasp(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 2 * five, y, steps=4)
    page.mouse.up()
    saved(page, "13:50", "15:20")
    expect(page.locator("#all-after")).to_be_checked()
    x, y, _ = grasp(page)
    page.mouse.click(x, y)
    expect(page.get_by_role("button", name="5 min later knots-take-1")).to_be_visible()
    assert findings(page) == []
    page.context.close()


@pytest.mark.parametrize(("width", "height"), [(360, 740), (1440, 900)])
def test_a_run_is_dragged_by_finger(
    server: Server, browser: "Browser", width: int, height: int
) -> None:
    """A finger on a bar drags it, beside it rolls the line; the bar is large enough for one."""
    page = browser.new_context(
        viewport={"width": width, "height": height}, has_touch=True, is_mobile=True
    ).new_page()
    page.goto(server.url + RUNDOWN)
    x, y, five = grasp(page)
    finger = page.context.new_cdp_session(page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        told = [{"x": at, "y": down} for at, down in points]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": told})

    touch("touchStart", (x, y))
    for step in range(1, 5):
        touch("touchMove", (x + step * five / 2, y))
    expect(page.locator(TAKE)).to_contain_text("14:10 knots-take-1")
    touch("touchEnd")
    saved(page, "14:10", "15:30")
    assert page.locator(f"{TAKE} .runline-grasp").bounding_box()["height"] >= 48
    assert not is_too_wide(page)
    assert findings(page) == []
    page.context.close()


@pytest.mark.parametrize(("width", "height", "scheme"), [(1440, 900, "light"), (360, 740, "dark")])
def test_a_run_is_moved_by_keys_and_by_buttons(
    server: Server, browser: "Browser", width: int, height: int, scheme: str
) -> None:
    """Arrows show the new time, Enter or leaving sets it, Escape gives it up; buttons step."""
    page, complaints = eye(browser, width, height, scheme)
    page.goto(server.url + RUNDOWN)
    bar = page.locator(TAKE)
    bar.focus()
    for key in ("ArrowRight", "ArrowRight", "PageUp", "ArrowLeft"):
        page.keyboard.press(key)
    expect(bar).to_have_attribute("aria-valuetext", "14:35")
    page.keyboard.press("Escape")
    expect(bar).to_have_attribute("aria-valuetext", "14:00")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    saved(page, "13:55", "15:30")
    assert page.evaluate("document.activeElement.id") == TAKE[1:]
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Tab")
    saved(page, "14:00", "15:30")
    bar.focus()
    page.keyboard.press("Enter")
    later = page.get_by_role("button", name="5 min later knots-take-1")
    for _ in range(3):
        later.press("Enter")
    saved(page, "14:15", "15:30")
    assert page.evaluate("document.activeElement.id") == "by5-knots-take-1"
    page.get_by_role("button", name="5 min earlier knots-take-1").click()
    saved(page, "14:10", "15:30")
    assert page.locator("#hour-knots-take-1").input_value() == "14:10"
    assert not is_too_wide(page)
    assert findings(page) == []
    assert complaints == []
    page.context.close()


def test_two_people_move_one_run(server: Server, browser: "Browser") -> None:
    """Who comes second is told both times and asked; nothing is moved silently."""
    ada, ben = (browser.new_context().new_page() for _ in range(2))
    for page in (ada, ben):
        page.goto(server.url + RUNDOWN)
    asked: list[str] = []
    ben.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.accept()))
    ben.locator(TAKE).focus()
    ben.keyboard.press("PageUp")
    ada.locator(TAKE).focus()
    ada.keyboard.press("ArrowRight")
    ada.keyboard.press("Enter")
    saved(ada, "14:05", "15:30")
    ben.keyboard.press("Enter")
    saved(ben, "14:35", "15:30")
    assert "14:05" in asked[0]
    assert "14:30" in asked[0]
    for page in (ada, ben):
        page.context.close()
