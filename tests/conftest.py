"""What many tests need: days with their plans, a store, a server in a process, a browser.

`live_server` and `browser_page` are for stories in a real browser; `client` asks the app in this
process and is enough for everything else.
"""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

from app.planning.day import Day
from app.planning.plan import Plan
from app.settings import Settings
from tests.live import CHROMIUM, FLAGS, Server

if TYPE_CHECKING:
    from fastapi.testclient import TestClient
    from playwright.sync_api import Browser, Page

GOLDEN = Path(__file__).parent / "golden"
settings.register_profile("repeatable", deadline=None, derandomize=True, database=None)
settings.register_profile("searching", deadline=None)
settings.load_profile("repeatable")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put what needs a browser last: its driver keeps an event loop running to the end."""
    items.sort(key=lambda item: "browser" in getattr(item, "fixturenames", ()))


@pytest.fixture(scope="session")
def golden() -> Callable[[str], Any]:
    """Return a reader of the documents in `golden/`, by file name."""
    return lambda name: json.loads((GOLDEN / name).read_text("utf-8"))


@pytest.fixture(scope="session")
def expected(golden: Callable[[str], Any]) -> dict[str, Any]:
    """Return the proven goals of each golden day, by its name."""
    found: dict[str, Any] = golden("expected.json")
    return found


@pytest.fixture(scope="session")
def knots_day(golden: Callable[[str], Any]) -> Day:
    """Return the day that the design is explained with."""
    return Day.model_validate(golden("knots.day.json"))


@pytest.fixture(scope="session")
def knots_plan(golden: Callable[[str], Any]) -> Plan:
    """Return a whole optimal plan of `knots_day`."""
    return Plan.model_validate(golden("knots.plan.json"))


@pytest.fixture(scope="session")
def example_day() -> Day:
    """Return the studio production that the program starts with."""
    from app.exchange.dayfile import load_day
    from seed_demo import example

    return load_day(example("studio"))


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Return settings of a server with an empty store in a folder of its own."""
    return Settings(data=tmp_path / "var", example="none")


@pytest.fixture
def store(settings: Settings) -> Path:
    """Open an empty store and return its file."""
    from app.storage.engine import open_store

    settings.data.mkdir(parents=True, exist_ok=True)
    open_store(settings.store)
    return settings.store


@pytest.fixture
def client(settings: Settings) -> "Iterator[TestClient]":
    """Yield a client of the app with an empty store; it asks as a browser on this machine does."""
    from fastapi.testclient import TestClient

    from app.main import create_app

    origin = f"http://127.0.0.1:{settings.port}"
    headers = {"Sec-Fetch-Site": "same-origin", "Origin": origin}
    app = create_app(settings)
    with TestClient(app, base_url=origin, headers=headers, client=("127.0.0.1", 50000)) as asking:
        yield asking


@pytest.fixture
def production(client: "TestClient", knots_day: Day, knots_plan: Plan) -> int:
    """Return the id of the knots production in the store of `client`, its plan published."""
    from tests.live import stored

    return stored(knots_day, knots_plan)


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    """Yield a server in a process of its own, with the knots production (id 1), planned.

    A test may `kill` it and `start` it again on the same port and store.
    """
    with Server(tmp_path / "served") as running:
        yield running


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Yield a server like `server` that stands for all tests that only look."""
    with Server(tmp_path_factory.mktemp("shared")) as running:
        yield running


@pytest.fixture(scope="session")
def browser() -> "Iterator[Browser]":
    """Yield the system's Chromium."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playing:
        opened = playing.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def browser_page(browser: "Browser") -> "Iterator[Page]":
    """Yield an empty page of a fresh browser profile."""
    profile = browser.new_context(viewport={"width": 1440, "height": 900})
    yield profile.new_page()
    profile.close()
