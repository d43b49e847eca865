"""A kitchen in the middle of its day, for all stories that only add ticks of their own."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from app.planning.day import Day
from app.planning.plan import Plan
from tests.browser.kitchen import Kitchen, at_this_moment

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext

NOON = "2027-03-04T12:05"


Phones = Callable[..., "BrowserContext"]


@pytest.fixture(scope="session")
def open_kitchen(
    request: pytest.FixtureRequest,
    tmp_path_factory: pytest.TempPathFactory,
    knots_day: Day,
    knots_plan: Plan,
) -> Iterator[Kitchen]:
    """Yield one server for all stories that leave it running, with a production for each."""
    day, plan = at_this_moment(knots_day, knots_plan, NOON)
    stories = sum("kitchen" in getattr(each, "fixturenames", ()) for each in request.session.items)
    with Kitchen(tmp_path_factory.mktemp("kitchen"), day, plan, stories + 1) as open_now:
        yield open_now


@pytest.fixture
def kitchen(open_kitchen: Kitchen) -> Kitchen:
    """Return a kitchen with the knots at five past twelve, untouched, open to phones that join."""
    open_kitchen.clear()
    return open_kitchen


@pytest.fixture
def own_kitchen(tmp_path: Path, knots_day: Day, knots_plan: Plan) -> Iterator[Kitchen]:
    """Yield a kitchen like `kitchen` whose server a story may kill and start again."""
    day, plan = at_this_moment(knots_day, knots_plan, NOON)
    with Kitchen(tmp_path / "kitchen", day, plan) as open_now:
        yield open_now


@pytest.fixture
def phone(browser: "Browser") -> Iterator[Phones]:
    """Yield a way to hand out phones that have joined; all are taken back in the end."""
    handed: list[BrowserContext] = []

    def hand_out(kitchen: Kitchen, person: str = "cook-1", **options: Any) -> "BrowserContext":
        profile = kitchen.phone(browser, person, **options)
        handed.append(profile)
        return profile

    yield hand_out
    for profile in handed:
        profile.close()
