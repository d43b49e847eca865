"""A stranger's trial: from an empty install to a plan on the wall, by the keyboard.

`python -m tests.browser.trial FOLDER` takes it twice, by the keyboard alone and with the mouse
where the way by Tab is long, puts a picture of every step into the folder, and says how many keys,
clicks and seconds that took.
"""

import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.browser.hands import MOST_TABS, Hands
from tests.live import CHROMIUM, FLAGS, Server

STAGES = (
    "Weighed, keeps 1 day",
    "Kneaded, keeps 20 min",
    "Risen, keeps 90 min",
    "Shaped, keeps 40 min",
    "Baked, keeps 6 h",
    "Glazed, keeps 4 h",
)
WAYS = (
    "weigh, 10 min, 1 person, 6 at once",
    "knead, 12 min, 1 person, mixer",
    "let rise, 60 min, 8 at once",
    "shape, 15 min, 1 person, 2 at once",
    "bake, 20 min, oven, 2 at once",
    "glaze, 6 min, 1 person, 4 at once",
)
BEATS = (
    "Knead, 2 min, needs weighed, leaves kneaded",
    "Shape, 2 min, needs risen, leaves shaped",
    "Into the oven, 1 min, needs shaped",
    "Glaze, 90 s, needs baked, leaves glazed",
    "Cut, 1 min, needs glazed, 1 backup",
)
RUNS = (("rehearsal", "14:00"), ("take", "15:30"), ("stills", "17:00"))
PLAN_MS = 300_000


def take_the_trial(hands: Hands, url: str) -> None:
    """Build a production from nothing, have it planned, and go to its board and its papers."""
    hands.page.goto(url)
    hands.picture("start")
    _begin(hands)
    _demonstrate(hands)
    _equip(hands)
    _run(hands)
    _plan(hands)
    _print(hands)


def _begin(hands: Hands) -> None:
    hands.fill("Title", "Sunday ovens")
    hands.to("Prep starts on")
    hands.type("03042027")
    hands.press("Enter")
    hands.page.wait_for_url("**/demonstrations")
    hands.picture("nothing-yet")
    hands.fill("Add a demonstration, its name", "Plum buns")
    hands.press("Enter")
    hands.page.wait_for_url("**/plum-buns")
    hands.picture("demonstration-empty")


def _lines(hands: Hands, first: str, lines: tuple[str, ...]) -> None:
    """Type line after line; Enter adds each, and the hand stays where the next is typed."""
    hands.to(first)
    for line in lines:
        hands.type(line)
        hands.press("Enter")
        hands.settle()


def _demonstrate(hands: Hands) -> None:
    _lines(hands, "Add a stage, its name", STAGES)
    hands.picture("six-stages")
    _lines(hands, "Weighed: add a way", WAYS)
    hands.picture("six-ways")
    _lines(hands, "Add a beat, its name", BEATS)
    hands.picture("five-beats")


def _equip(hands: Hands) -> None:
    hands.use("Next: Kitchen")
    hands.page.wait_for_url("**/kitchen")
    hands.picture("kitchen-empty")
    _lines(hands, "Add an item, its name", ("Oven, 2 units", "Mixer"))
    _lines(hands, "Add a person, its name", ("Ada", "Ben"))
    _lines(hands, "Add a shelf unit, its name", ("Rack, 3 levels of 4",))
    hands.picture("kitchen")


def _run(hands: Hands) -> None:
    hands.use("Next: Rundown")
    hands.page.wait_for_url("**/rundown")
    hands.picture("rundown-empty")
    for kind, hour in RUNS:
        hands.fill("Kind", kind)
        hands.fill("Starts at", hour)
        hands.press("Enter")
        expect(hands.page.locator(".runs time", has_text=hour)).to_be_visible()
        expect(hands.page.locator("#add-kind")).to_be_focused()
    hands.picture("three-runs")


def _plan(hands: Hands) -> None:
    """Wait for the plan that follows when the hands rest, and accept it."""
    accept = hands.page.get_by_role("button", name="Accept")
    working = hands.page.get_by_text("A plan is being worked out")
    working.or_(accept).first.wait_for(timeout=PLAN_MS)
    hands.picture("working")
    failed = hands.page.get_by_text("There is no new plan")
    accept.or_(failed).first.wait_for(timeout=PLAN_MS)
    expect(accept).to_be_visible()
    hands.picture("first-plan")
    hands.use("Accept")
    hands.page.wait_for_url("**/count")
    hands.picture("count")


def _go(hands: Hands, screen: str) -> None:
    """Go to a screen; where there is little room, the ways to all are in a menu."""
    if hands.page.get_by_role("button", name="Screens", exact=True).is_visible():
        hands.use("Screens")
    hands.use(screen)


def _print(hands: Hands) -> None:
    _go(hands, "Prep board")
    hands.page.wait_for_url("**/board")
    hands.picture("board")
    _go(hands, "Papers")
    hands.page.wait_for_url("**/papers")
    hands.picture("papers")
    hands.use("Prep board on A4")
    hands.page.locator("#drawing-board a").first.wait_for(timeout=PLAN_MS)
    hands.picture("prep-board-drawn")


@contextmanager
def empty_install(folder: Path) -> Iterator[Server]:
    """Serve a store that holds nothing."""
    with Server(folder, {"LIVE_STORE": "empty"}) as server:
        yield server


def desk(browser: Browser, width: int = 1440, height: int = 900) -> Page:
    """Return a page as a producer's browser shows it."""
    profile = browser.new_context(
        viewport={"width": width, "height": height},
        locale="en-US",
        timezone_id="Europe/Lisbon",
        reduced_motion="reduce",
        has_touch=width < 600,
    )
    page = profile.new_page()
    page.set_default_timeout(10_000)
    return page


def told(name: str, hands: Hands, took_s: float) -> str:
    """Return what the trial took, in words."""
    seconds = hands.seconds()
    return (
        f"{name}: {hands.keys} keys, {hands.clicks} clicks, {took_s:.0f} s by script; a person "
        f"{seconds['known'] / 60:.1f} min who knows the way, and {seconds['reading'] / 60:.1f} min "
        f"to read every word once"
    )


def _timed(browser: Browser, folder: Path, reach: int, width: int) -> tuple[Hands, float]:
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as data, empty_install(Path(data)) as server:
        hands = Hands(desk(browser, width), folder, reach)
        began = time.monotonic()
        try:
            take_the_trial(hands, server.url)
        finally:
            hands.picture("last")
            hands.page.context.close()
        return hands, time.monotonic() - began


def main(say: Callable[[str], object] = print) -> None:
    """Take the trial in each way and say what it took."""
    folder = Path(sys.argv[1])
    ways = (("keyboard", MOST_TABS, 1440), ("mouse", 12, 1440), ("phone", 12, 360))
    wanted = sys.argv[2:] or [name for name, *_ in ways]
    with sync_playwright() as playing:
        browser = playing.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        for name, reach, width in ways:
            if name in wanted:
                hands, took_s = _timed(browser, folder / name, reach, width)
                say(told(name, hands, took_s))
        browser.close()


if __name__ == "__main__":
    main()
