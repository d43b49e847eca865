"""Decisions by name, readings and the larder are on every open screen within a second."""

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from app.planning.day import Day
from app.planning.plan import Plan
from tests.browser.conftest import NOON
from tests.browser.kitchen import Kitchen, at_this_moment
from tests.web.test_allergens import day_with

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Locator, Page

Phones = Callable[..., "BrowserContext"]
SCREENS = ("board", "list?cook=cook-1", "pulls?by=beat", "shelves", "count", "shopping")


@pytest.fixture(scope="module")
def tasting(
    tmp_path_factory: pytest.TempPathFactory, knots_day: Day, knots_plan: Plan
) -> Iterator[Kitchen]:
    """Yield a kitchen in which Teo would be served the wheat that he avoids."""
    day, plan = at_this_moment(day_with(knots_day), knots_plan, NOON)
    with Kitchen(tmp_path_factory.mktemp("tasting"), day, plan) as open_now:
        yield open_now


def opened(phone: Phones, kitchen: Kitchen, path: str) -> "Page":
    """Open a screen on a phone of its own and wait until it listens."""
    page = phone(kitchen, "Zoe").new_page()
    with page.expect_response(lambda answer: "/live" in answer.url):
        page.goto(kitchen.address(path))
    return page


def within_a_second(begun: float, told: "Locator", state: str = "visible") -> None:
    """Wait for what is told, and see that it took less than a second."""
    told.wait_for(state=state, timeout=5000)  # type: ignore[arg-type]
    assert time.monotonic() - begun < 1


def test_a_decision_takes_the_warning_off_every_screen(phone: Phones, tasting: Kitchen) -> None:
    """And once it is taken back the warning stands there again; nobody loads a page."""
    screens = [opened(phone, tasting, path) for path in SCREENS]
    for screen in screens:
        screen.get_by_text("NOT DECIDED").wait_for()
    desk = phone(tasting, "Ada").new_page()
    desk.goto(tasting.address("allergens"))
    desk.get_by_label("They are served something else.").first.check()
    desk.get_by_label("Decided by (name)").first.fill("Ada")
    desk.get_by_role("button", name="Decide").first.click()
    desk.get_by_role("button", name="Take it back").first.wait_for()
    begun = time.monotonic()
    for screen in screens:
        within_a_second(begun, screen.get_by_text("NOT DECIDED"), "detached")
    desk.get_by_role("button", name="Take it back").first.click()
    desk.get_by_role("button", name="Decide").first.wait_for()
    begun = time.monotonic()
    for screen in screens:
        within_a_second(begun, screen.get_by_text("NOT DECIDED"))


def test_a_price_is_on_every_list_and_what_is_typed_stays(phone: Phones, tasting: Kitchen) -> None:
    """One changes the larder; another, who is typing there, keeps the words and sees the change."""
    listed = opened(phone, tasting, "shopping")
    other = phone(tasting, "Zoe").new_page()
    with other.expect_response(lambda answer: "/live" in answer.url):
        other.goto(f"{tasting.server.kitchen_url}/larder")
    other.get_by_label("Name in recipes").fill("butter")
    mine = phone(tasting, "Ada").new_page()
    mine.goto(f"{tasting.server.kitchen_url}/larder?name=strong+flour")
    mine.get_by_label("Place").fill("dry store")
    mine.get_by_role("button", name="Put it in").click()
    mine.locator("#goods", has_text="dry store").wait_for()
    begun = time.monotonic()
    within_a_second(begun, listed.get_by_role("heading", name="dry store"))
    within_a_second(begun, other.locator("#goods", has_text="dry store"))
    assert other.get_by_label("Name in recipes").input_value() == "butter"


def test_a_reading_is_on_the_pull_list_at_once(phone: Phones, tmp_path: Path) -> None:
    """It cools too slowly: the list for the bench says so while it is looked at."""
    from tests.planning.test_clocks import day_with as custards
    from tests.planning.test_clocks import plan_with

    day, plan = at_this_moment(custards(), plan_with(), "2027-03-04T12:00")
    with Kitchen(tmp_path / "custards", day, plan) as kitchen:
        bench = opened(phone, kitchen, "pulls?by=stage")
        probe = phone(kitchen, "Ada").new_page()
        probe.goto(kitchen.address("copies/custard/set/1"))
        probe.locator("#probe input").first.fill("40")
        probe.locator("#probe [type=submit]").click()
        probe.get_by_text("It cooled too slowly").first.wait_for()
        begun = time.monotonic()
        within_a_second(begun, bench.get_by_text("It cooled too slowly").first)


def test_a_tick_moves_until_when_it_is_safe_on_the_pull_list_at_once(
    phone: Phones, tmp_path: Path
) -> None:
    """Started twenty minutes early: its clock starts early, and the list says so unasked."""
    from tests.planning.test_clocks import day_with as custards
    from tests.planning.test_clocks import plan_with

    day, plan = at_this_moment(custards(safety_min=400), plan_with(), "2027-03-04T08:40")
    with Kitchen(tmp_path / "custards", day, plan) as kitchen:
        bench = opened(phone, kitchen, "pulls?by=stage")
        before = bench.locator(".eaten").first.inner_text()
        assert before.startswith("Safe to eat until")
        board = phone(kitchen, "Ada").new_page()
        board.goto(kitchen.address("board"))
        board.locator(".job[data-batch] [data-tap]").first.click()
        board.get_by_text("started ").first.wait_for()
        begun = time.monotonic()
        within_a_second(begun, bench.locator(".eaten", has_not_text=before).first)
        assert bench.locator(".eaten").first.inner_text().startswith("Safe to eat until")
