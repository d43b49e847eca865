"""What every screen is looked at for: width, contrast, names, roles, and the page's policy."""

from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, ConsoleMessage, Page

AXE = (Path(__file__).parent / "vendor" / "axe-core" / "axe.min.js").read_text("utf-8")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
SIGHTS = [
    (width, height, scheme)
    for width, height in ((1440, 900), (360, 740))
    for scheme in ("light", "dark")
]


def eye(browser: Browser, width: int, height: int, scheme: Any) -> tuple[Page, list[str]]:
    """Return a page of that size and scheme, and the list that its complaints go to."""
    is_phone = width < 600
    profile = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme=scheme,
        has_touch=is_phone,
        is_mobile=is_phone,
        reduced_motion="reduce",
    )
    page = profile.new_page()
    complaints: list[str] = []

    def hear(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            complaints.append(message.text)

    page.on("console", hear)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    return page, complaints


def is_too_wide(page: Page) -> bool:
    """Return whether the page moves sideways."""
    return bool(page.evaluate("document.documentElement.scrollWidth > window.innerWidth"))


def findings(page: Page) -> list[str]:
    """Return what axe-core finds at WCAG 2.2 AA, a line each with its place."""
    page.evaluate(AXE)
    found = page.evaluate("tags => axe.run(document, {runOnly: {type: 'tag', values: tags}})", TAGS)
    return [
        f"{violation['id']}: {node['html'][:120]} {node['failureSummary'][:200]}"
        for violation in found["violations"]
        for node in violation["nodes"]
    ]


def small_targets(page: Page, least: int) -> list[str]:
    """Return what can be pressed and is lower than `least` pixels, or for fingers narrower than 44;
    links within a text may be."""
    return list(
        page.evaluate(
            """least => [...document.querySelectorAll(
                'button, summary, select, input:not([type=hidden]), a[role=button], nav a, '
                + '.ways a, .edit-bar a, .links a'
            )].filter(each => each.checkVisibility() && !each.closest('.hide-sight')
                && (each.getBoundingClientRect().height < least - 0.5
                    || each.getBoundingClientRect().width < (least > 44 ? 43.5 : 0)))
              .map(each => each.outerHTML.slice(0, 100))""",
            least,
        )
    )


def looks_well(page: Page, complaints: list[str], width: int, at: str = "") -> None:
    """Test that a screen fits, that axe-core and the browser find nothing, that targets are large.

    Parameters
    ----------
    complaints
        Those of the browser, as `eye` hears them.
    width
        That of the sight, in pixels: on a phone targets are for fingers.
    at
        Where that is, to be told of what is wrong.
    """
    assert not is_too_wide(page), at
    found, small = findings(page), small_targets(page, 48 if width < 600 else 24)
    assert found == [], (at, found)
    assert small == [], (at, small)
    assert complaints == [], (at, complaints)
