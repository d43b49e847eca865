"""A stage gets its photograph in a real browser, and everybody sees it where the work is read."""

import io
from pathlib import Path

import pillow_heif
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from tests.browser.looking import SIGHTS, eye, looks_well
from tests.live import Server

SCREEN = "/productions/1/demonstrations/knots/photographs"


@pytest.fixture(scope="module")
def photo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the file of a photograph as a phone takes it: large, and HEIC."""
    pillow_heif.register_heif_opener()
    made = io.BytesIO()
    Image.new("RGB", (2400, 1800), "sienna").save(made, "HEIF")
    file = tmp_path_factory.mktemp("phone") / "IMG_0001.HEIC"
    file.write_bytes(made.getvalue())
    return file


def _keep(page: Page, server: Server, photo: Path) -> None:
    page.goto(server.url + SCREEN)
    page.locator("#file-baked").set_input_files(photo)
    page.get_by_role("button", name="Keep it for baked").click()
    expect(page.locator("#stage-baked img")).to_be_visible()


def test_a_photograph_is_made_small_and_seen_on_its_demonstration(
    browser_page: Page, server: Server, photo: Path
) -> None:
    """Drawn, not broken, with words for who does not see it."""
    page = browser_page
    _keep(page, server, photo)
    width = page.locator("#stage-baked img").evaluate("each => each.naturalWidth")
    assert width == 1600
    page.goto(f"{server.url}/productions/1/demonstrations/knots")
    shown = page.get_by_role("img", name="baked, as it looks when it is done")
    assert shown.evaluate("each => each.decode().then(() => each.naturalWidth)") == 1600


def test_a_file_that_is_no_photograph_is_refused_beside_its_field(
    browser_page: Page, server: Server, tmp_path: Path
) -> None:
    """The page stays as it is."""
    page = browser_page
    page.goto(server.url + SCREEN)
    (tmp_path / "a.jpg").write_bytes(b"no picture")
    page.locator("#file-baked").set_input_files(tmp_path / "a.jpg")
    page.get_by_role("button", name="Keep it for baked").click()
    expect(page.locator("#fault-baked")).to_contain_text("choose a JPEG, PNG, WebP or HEIC")
    expect(page.locator("#file-baked")).to_have_attribute("aria-describedby", "fault-baked")


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_screens_fit_and_are_accessible(
    browser: Browser, shared_server: Server, width: int, height: int, scheme: str
) -> None:
    """Photographs and files, at every size and in every light."""
    page, complaints = eye(browser, width, height, scheme)
    for path in (SCREEN, "/productions/1/files"):
        page.goto(shared_server.url + path)
        looks_well(page, complaints, width, path)
    page.context.close()
