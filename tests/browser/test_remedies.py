"""What stands in the way, and what would help: looked at, and taken up by keyboard alone."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from app.planning.advice import planned
from app.planning.reading import read_day
from tests.browser.hands import Hands
from tests.browser.looking import SIGHTS, eye, findings, looks_well
from tests.live import Server, stored
from tests.planning.remedies.test_altogether import short_of_two_things

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

COUNT = "/productions/1/count"


@pytest.fixture(scope="module")
def clashing(
    tmp_path_factory: pytest.TempPathFactory, golden: Callable[[str], Any]
) -> Iterator[Server]:
    """Yield a server with two bakes at different heats that do not fit, planned."""
    day = golden("setting-change-impossible.day.json")
    with _serving(day, tmp_path_factory.mktemp("clashing")) as running:
        yield running


def _serving(facts: Any, folder: Path) -> Server:
    """Return a server of one production that is planned."""
    from app.storage.engine import close_store, open_store

    open_store(folder / "stagelarder.sqlite")
    day = read_day(facts)
    stored(day, planned(day))
    close_store()
    return Server(folder)


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


def test_more_of_several_things_is_taken_up_by_one_tap(browser: "Browser", tmp_path: Path) -> None:
    """Tests that a cook and an oven are added at once, and that nothing lacks then."""
    with _serving(short_of_two_things(), tmp_path) as server:
        page, complaints = eye(browser, 360, 740, "dark")
        page.goto(server.url + COUNT)
        help_all = page.locator("ul.remedies li").first
        expect(help_all).to_contain_text(
            "Have one more cook, 10:50 to 11:50; one more oven like deck."
        )
        looks_well(page, complaints, 360)
        help_all.get_by_role("button", name="Take it up").tap()
        accept = page.get_by_role("button", name="Accept")
        expect(accept).to_be_visible(timeout=60_000)
        accept.tap()
        expect(page.get_by_text("Plan 2.")).to_be_visible()
        expect(page.get_by_text("What stands in the way")).to_have_count(0)
        page.context.close()
