"""The crew's screens of the studio example, whose day is longer and wider than the knots'."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.browser.looking import eye, findings, is_too_wide
from tests.live import Server

PAGES = ("board", "board?day=2027-05-13", "list?cook=dov", "pulls", "pulls?by=beat", "shelves")


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Yield a server with the studio example, planned."""
    folder = tmp_path_factory.mktemp("studio")
    with Server(folder, {"STAGELARDER_EXAMPLE": "studio"}) as running:
        yield running


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (360, 740), (320, 640)])
def test_a_long_day_fits_and_is_accessible(
    browser: Browser, studio: Server, width: int, height: int
) -> None:
    page, complaints = eye(browser, width, height, "light")
    for path in PAGES:
        page.goto(f"{studio.url}/productions/1/{path}")
        assert not is_too_wide(page), path
        assert findings(page) == [], path
    assert complaints == []
    page.context.close()
