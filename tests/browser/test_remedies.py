"""What stands in the way, and what would help: looked at, and taken up by keyboard alone."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from app.planning.advice import planned
from app.planning.reading import read_day
from tests.browser.hands import Hands
from tests.browser.looking import SIGHTS, eye, findings, looks_well
from tests.live import Server, stored

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

COUNT = "/productions/1/count"


@pytest.fixture(scope="module")
def clashing(
    tmp_path_factory: pytest.TempPathFactory, golden: Callable[[str], Any]
) -> Iterator[Server]:
    """Yield a server with two bakes at different heats that do not fit, planned."""
    from app.storage.engine import close_store, open_store

    folder = tmp_path_factory.mktemp("clashing")
    open_store(folder / "stagelarder.sqlite")
    day = read_day(golden("setting-change-impossible.day.json"))
    stored(day, planned(day))
    close_store()
    with Server(folder) as running:
        yield running


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_what_stands_in_the_way_fits_and_is_accessible(
    browser: "Browser", clashing: Server, width: int, height: int, scheme: str
) -> None:
    """Tests clashes, remedies and their buttons at every size and in every light."""
    page, complaints = eye(browser, width, height, scheme)
    page.goto(clashing.url + COUNT)
    advice = page.get_by_label("What stands in the way, and what would help")
    expect(advice).to_contain_text("bringing oven-1 to another setting takes 15 min")
    assert advice.get_by_role("button", name="Take it up").count() > 2
    looks_well(page, complaints, width)
    page.context.close()


def test_a_remedy_is_taken_up_and_its_plan_accepted_by_keyboard(
    clashing: Server, browser_page: "Page"
) -> None:
    """Tests that each button tells which remedy it is of, and what comes of one."""
    browser_page.goto(clashing.url + COUNT)
    hands = Hands(browser_page)
    expect(
        browser_page.get_by_role("button", name="Take it up").first
    ).to_have_accessible_description(
        "Start b1 at 11:39, 39 min later. Copies cost 2 (1 more), 0 min by hand as now."
    )
    hands.use("Take it up")
    accept = browser_page.get_by_role("button", name="Accept")
    expect(accept).to_be_visible(timeout=60_000)
    assert findings(browser_page) == []
    hands.use("Accept")
    expect(browser_page.get_by_text("Plan 2.")).to_be_visible()
    expect(browser_page.get_by_text("What stands in the way")).to_have_count(0)
