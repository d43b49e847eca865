"""What hangs on the wall is printed, the day goes otherwise, and only what changed is printed."""

import re
from base64 import b64decode
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from tests.browser.kitchen import Kitchen
from tests.browser.looking import SIGHTS, eye, findings, is_too_wide, small_targets
from tests.paper.opened import Opened, Words

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Locator, Page

Phones = Callable[..., "BrowserContext"]
PATIENCE_MS = 60_000
NUMBER = re.compile(r"page(\d+)of(\d+)")


def fetched(page: "Page", link: "Locator") -> Opened:
    """Press the link, wait for the paper, and fetch it as a browser would open it."""
    link.click()
    opening = page.get_by_role("link", name="Open the ")
    opening.wait_for(timeout=PATIENCE_MS)
    told = opening.evaluate(
        """async link => {
            const answer = await fetch(link.href);
            const bytes = new Uint8Array(await answer.arrayBuffer());
            const said = bytes.reduce((before, byte) => before + String.fromCharCode(byte), "");
            return [answer.status, btoa(said)];
        }"""
    )
    assert told[0] == 200
    return Opened(b64decode(told[1]))


def numbers(paper: Opened) -> list[tuple[int, int]]:
    """Return *n of m* of each page that bears it."""
    joined = ("".join(words.split()) for words in paper.pages)
    return [(int(n), int(m)) for words in joined for n, m in NUMBER.findall(words)]


def cover_says(cover: Words, head: str, after: str) -> set[int]:
    """Return the pages that the list of changes names behind a head; *3 to 5* are three."""
    found = re.search(f"{head}(.*?){after}", "".join(cover.split()))
    assert found is not None
    words = found[1].split("ofplan")[0]
    spans = re.findall(r"(\d+)(?:to(\d+))?", words)
    return {page for first, last in spans for page in range(int(first), int(last or first) + 1)}


@pytest.fixture
def printed(own_kitchen: Kitchen, phone: Phones) -> "tuple[Page, Opened, Opened]":
    """Return a laptop on which prep board and labels of plan 1 were printed."""
    page = phone(own_kitchen, viewport={"width": 1440, "height": 900}).new_page()
    page.goto(own_kitchen.address("papers"))
    board = fetched(page, page.get_by_role("link", name="Prep board on A4"))
    page.goto(own_kitchen.address("labels"))
    labels = fetched(page, page.get_by_role("link", name="Draw all labels"))
    return page, board, labels


def mended(page: "Page", kitchen: Kitchen) -> None:
    """Move a take by two taps: how much later, and that the mended plan is accepted."""
    page.goto(kitchen.address("today/run/knots-take-2"))
    page.get_by_role("button", name="15 min later").click()
    page.get_by_role("heading", name="What changes with plan 2").wait_for(timeout=PATIENCE_MS)
    page.get_by_role("button", name="Accept").click()
    page.get_by_text("takes it in").first.wait_for()


def test_after_a_mended_plan_only_what_changed_is_printed(
    own_kitchen: Kitchen, printed: "tuple[Page, Opened, Opened]"
) -> None:
    """Pages and labels of plan 2, under a list that says what of plan 1 to keep and throw away."""
    page, before, _ = printed
    mended(page, own_kitchen)

    page.goto(own_kitchen.address("papers"))
    assert page.locator(".prints").get_by_text("void: plan 2 holds").count() == 2
    whole = fetched(page, page.get_by_role("link", name="Prep board on A4", exact=True))
    page.goto(own_kitchen.address("papers"))
    only = "Prep board on A4, only what changed since plan 1"
    changed = fetched(page, page.get_by_role("link", name=only))

    cover, count = changed.pages[0], len(whole.pages)
    assert "What changed since plan 1" in cover
    new = cover_says(cover, "Inhere", "Throwaway")
    gone = cover_says(cover, "Throwaway", "Keep")
    assert numbers(before) == [(n, len(before.pages)) for n in range(1, len(before.pages) + 1)]
    assert numbers(changed) == [(n, count) for n in sorted(new)]
    assert 0 < len(new) == len(changed.pages) - 1
    assert len(before.pages) - len(gone) == count - len(new)
    assert all("Plan 2, printed" in words for words in changed.pages)
    assert all("Plan 1, printed" in words for words in before.pages)
    for at, number in enumerate(sorted(new), start=1):
        assert changed.pages[at] == whole.pages[number - 1]

    page.goto(own_kitchen.address("labels"))
    few = page.get_by_role("link", name="that changed since plan 1")
    said = int(few.inner_text().split()[2])
    labels = fetched(page, few)
    assert labels.words.count("staged") == said
    assert "Throw away of plan 1" in labels.words
    rows = page.goto(own_kitchen.address("papers")) and page.locator(".prints li").all_inner_texts()
    assert rows
    assert findings(page) == []
    assert ["only what changed since plan 1" in row for row in rows] == [
        *(True, True),
        *(False, False, False),
    ]
    assert ["void" in row for row in rows] == [False, False, False, True, True]


@pytest.mark.parametrize(("width", "height", "scheme"), SIGHTS)
def test_the_editor_of_label_sheets_is_clicked_through(
    browser: "Browser", shared_server: "object", width: int, height: int, scheme: str
) -> None:
    """A sheet as on its packet is kept, shown, begun in the middle, printed, and forgotten."""
    page, complaints = eye(browser, width, height, scheme)
    here = f"{shared_server.url}/productions/1/labels"  # type: ignore[attr-defined]
    page.goto(here)
    name = f"Fridge {width} {scheme}"
    page.get_by_text("Change this sheet, or add another").click()
    for field, value in {
        "Name": name,
        "Labels across": "3",
        "Labels down": "8",
        "Left edge to the first label": "7.25",
        "Top edge to the first label": "13,5",
        "Label, across": "63,5",
        "Label, down": "38.1",
        "Gap across": "2.5",
        "Gap down": "0",
    }.items():
        page.get_by_label(field).fill(value)
    page.get_by_role("button", name="Keep this sheet").click()
    page.get_by_text("mm higher than the sheet").wait_for()
    assert page.get_by_label("Top edge to the first label").input_value() == "13,5"
    assert (findings(page), is_too_wide(page)) == ([], False)
    page.get_by_label("Labels down").fill("7")
    page.get_by_role("button", name="Keep this sheet").click()
    page.locator(".spot").nth(20).wait_for(state="attached")
    assert page.locator(".spot").count() == 21
    page.get_by_label("First label still there").fill("20")
    page.get_by_label("First label still there").press("Tab")
    page.locator(".used-up").nth(18).wait_for(state="attached")
    assert page.locator(".spot .tags, .tags").count() == 2
    assert small_targets(page, 48 if width < 600 else 24) == []
    assert (findings(page), is_too_wide(page)) == ([], False)
    drawn = fetched(page, page.get_by_role("link", name="Draw all labels"))
    assert drawn.sizes_mm == {(210, 297)}
    assert drawn.pages[0].count("staged") == 2
    page.get_by_text("Change this sheet, or add another").click()
    page.get_by_role("button", name=f"Forget “{name}”").click()
    page.get_by_label("Sheet", exact=True).locator(f"option:has-text('{name}')").wait_for(
        state="detached"
    )
    # The sheet that can't be is told by an answer of its own, which the browser notes.
    assert all("status of 422" in each for each in complaints)
    page.context.close()
