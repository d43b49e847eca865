"""A demonstration is begun in a real browser: from a skeleton, a recipe and a spreadsheet."""

import json
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from app.exchange.sheets import Sheet
from app.exchange.workbook import dump_workbook
from tests.browser.looking import SIGHTS, eye, looks_well
from tests.exchange.test_breakdown import HEADS, ROWS
from tests.exchange.test_recipe import BUNS
from tests.live import Server

HERE = "/productions/1/begin"


@pytest.fixture(scope="module")
def breakdown(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the file of somebody's own breakdown, with a second sheet."""
    file = tmp_path_factory.mktemp("mine") / "Autumn special.xlsx"
    file.write_bytes(dump_workbook([Sheet("Week 1", (HEADS, *ROWS)), Sheet("Notes", (("x",),))]))
    return file


def _sheet(page: Page, server: Server, file: Path) -> None:
    page.goto(server.url + HERE)
    page.locator("#sheet-file").set_input_files(file)
    page.get_by_role("button", name="Look at it").last.click()
    page.wait_for_url("**/begin/sheet/**")


def _recipe(page: Page, server: Server) -> None:
    page.goto(server.url + HERE)
    page.get_by_label("Paste it here").fill(json.dumps(BUNS))
    page.get_by_role("button", name="Look at it").first.click()
    page.wait_for_url("**/begin/recipe/**")


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_screens_fit_and_are_accessible(
    browser: Browser, shared_server: Server, breakdown: Path, width: int, height: int, scheme: str
) -> None:
    """The ways to begin, and the preview of each."""
    page, complaints = eye(browser, width, height, scheme)

    def look(name: str) -> None:
        looks_well(page, complaints, width, name)

    page.goto(shared_server.url + HERE)
    look("ways")
    page.goto(f"{shared_server.url}{HERE}/skeleton/laminated-pastry")
    look("skeleton")
    _recipe(page, shared_server)
    look("recipe")
    _sheet(page, shared_server, breakdown)
    look("sheet")
    page.context.close()


def test_a_breakdown_is_mapped_and_added(
    browser_page: Page, server: Server, breakdown: Path
) -> None:
    """The preview follows a choice without a reload, and what is added is what was shown."""
    page = browser_page
    _sheet(page, server, breakdown)
    expect(page.get_by_role("button", name="Add 2 demonstrations")).to_be_visible()
    page.evaluate("window.here = 1")
    page.get_by_role("combobox", name="Dish").select_option("")
    expect(page.get_by_label("What it is called")).to_have_value("Autumn special")
    page.get_by_role("combobox", name="Dish").select_option("demonstration")
    expect(page.get_by_role("button", name="Add 2 demonstrations")).to_be_visible()
    assert page.evaluate("window.here") == 1
    page.reload()
    page.get_by_role("button", name="Add 2 demonstrations").click()
    page.wait_for_url("**/demonstrations")
    expect(page.locator("#main")).to_contain_text("Fig tart")


def test_a_skeleton_becomes_a_demonstration_by_keyboard(browser_page: Page, server: Server) -> None:
    """Choose, name, add: without a mouse."""
    page = browser_page
    page.goto(server.url + HERE)
    page.get_by_role("link", name="Custard").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/skeleton/custard")
    page.get_by_label("What it is called").fill("Bay leaf custard")
    page.keyboard.press("Enter")
    page.wait_for_url("**/demonstrations/bay-leaf-custard")
