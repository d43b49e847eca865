"""Two people in one demonstration: what one deletes takes no word away from the other."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_editing import KNOTS, field, saved
from tests.live import Server

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

Two = tuple["Page", "Page"]
ACTIVE = "document.activeElement.ariaLabel"


@pytest.fixture
def two(server: Server, browser: "Browser") -> Iterator[Two]:
    """Yield Ada's and Ben's pages, each with the knots open and a last stage that is sliced."""
    ada, ben = (browser.new_context().new_page() for _ in range(2))
    for page in (ada, ben):
        page.goto(server.url + KNOTS)
    field(ada, "Add a stage, its name").fill("Sliced, keeps 1 h")
    ada.keyboard.press("Enter")
    saved(ada)
    expect(field(ben, "Sliced: keeps")).to_have_count(1)
    yield ada, ben
    for page in (ada, ben):
        page.context.close()


def _delete(page: "Page", row: str) -> None:
    field(page, f"{row}: move, duplicate, delete").click()
    page.locator("#row-menu").get_by_role("button", name="Delete").click()
    saved(page)


def test_a_row_that_is_deleted_stays_where_another_types_in_it(two: Two) -> None:
    """The words stay, the hand stays; once the delete is taken back, they are saved."""
    ada, ben = two
    look = field(ben, "Sliced: look")
    look.fill("thin and ev")
    _delete(ada, "Sliced")
    expect(ben.locator(".cell", has=look)).to_contain_text("This was deleted meanwhile")
    expect(field(ben, "Sliced: keeps")).to_have_count(0)
    ben.keyboard.type("en")
    assert ben.evaluate(ACTIVE) == "Sliced: look"
    assert look.input_value() == "thin and even"
    look.press("Tab")
    expect(ben.locator("#saved")).to_have_text("Not all is saved")
    assert field(ben, "baked: name").input_value() == ""
    ada.get_by_role("button", name="Undo").click()
    expect(field(ben, "Sliced: keeps")).to_have_count(1)
    assert look.input_value() == "thin and even"
    look.press("Enter")
    saved(ben)
    expect(field(ada, "Sliced: look")).to_have_value("thin and even")


def test_a_deleted_row_goes_once_nothing_is_typed_in_it(two: Two) -> None:
    """Whoever takes back what they typed lets the row go."""
    ada, ben = two
    look = field(ben, "Sliced: look")
    look.fill("thin")
    _delete(ada, "Sliced")
    expect(ben.locator(".cell", has=look)).to_contain_text("This was deleted meanwhile")
    look.press("Escape")
    look.press("Tab")
    expect(look).to_have_count(0)


def test_what_is_typed_to_be_added_to_a_deleted_row_stays(two: Two) -> None:
    """It is told that it can't be added any more."""
    ada, ben = two
    line = ben.get_by_role("textbox", name="Sliced: add an ingredient")
    line.fill("200 g sug")
    _delete(ada, "Sliced")
    expect(field(ben, "Sliced: keeps")).to_have_count(0)
    ben.keyboard.type("ar")
    line.press("Enter")
    expect(ben.locator("#banner")).to_contain_text("What you typed is still on this page.")
    assert line.input_value() == "200 g sugar"


def test_whoever_only_stands_in_a_deleted_row_types_into_no_other(two: Two) -> None:
    """The hand goes to the handle of the row beside it, where letters do nothing."""
    ada, ben = two
    field(ben, "Sliced: keeps").focus()
    _delete(ada, "Sliced")
    expect(field(ben, "Sliced: keeps")).to_have_count(0)
    ben.keyboard.type("45 min")
    assert "move, duplicate, delete" in ben.evaluate(ACTIVE)
    ben.reload()
    assert field(ben, "baked: keeps").input_value() == "4 h"
