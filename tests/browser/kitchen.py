"""A kitchen in the middle of its day: a planned production moved to now, served to phones."""

import re
import time
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from playwright.sync_api import Browser, BrowserContext, Page

from app.planning.day import Day
from app.planning.minutes import MINUTE_S, Clock
from app.planning.plan import Plan
from tests.live import Server, stored

LOCAL = re.compile(r"^\d{4}-\d\d-\d\dT\d\d:\d\d$")
PHONE = {"width": 360, "height": 740}
WALL = {"width": 1440, "height": 900}


def moved(document: Any, clock: Clock, minutes: int) -> Any:
    """Return a document with every local time so many minutes later."""
    if isinstance(document, dict):
        return {name: moved(value, clock, minutes) for name, value in document.items()}
    if isinstance(document, list | tuple):
        return [moved(value, clock, minutes) for value in document]
    if isinstance(document, str) and LOCAL.match(document):
        return clock.text(clock.minute(document) + minutes)
    return document


def at_this_moment(day: Day, plan: Plan, moment: str) -> tuple[Day, Plan]:
    """Return a day and its plan moved so that `moment` of the day is now."""
    zone = day.model_copy(update={"timezone": "UTC"})
    clock = Clock("UTC")
    minutes = int(time.time()) // MINUTE_S - clock.minute(moment)
    facts = zone.model_dump(mode="json", by_alias=True, exclude_unset=True)
    today = Day.model_validate(moved(facts | {"timezone": "UTC"}, clock, minutes))
    document = moved(plan.document(), clock, minutes)
    document.pop("day", None)
    return today, Plan.model_validate(document)


class Kitchen:
    """A server that is open to the kitchen's network, with one production and its plan."""

    def __init__(
        self, folder: Path, day: Day, plan: Plan | None, environment: dict[str, str] | None = None
    ) -> None:
        from app.storage.engine import close_store, open_store

        folder.mkdir(parents=True, exist_ok=True)
        open_store(folder / "stagelarder.sqlite")
        self.production = stored(day, plan)
        close_store()
        open_to_all = {"STAGELARDER_HOST": "0.0.0.0"} | (environment or {})
        self.server = Server(folder, open_to_all)

    def address(self, path: str) -> str:
        """Return an address of the production, on an origin that is not localhost."""
        return f"{self.server.kitchen_url}/productions/{self.production}/{path}"

    def code(self) -> str:
        """Return the join code that the server printed when it started last."""
        said = re.findall(r"Join code: (\d+)", self.server.log.read_text("utf-8"))
        return str(said[-1])

    def phone(self, browser: Browser, person: str, **options: Any) -> BrowserContext:
        """Return a browser profile that has joined and picked its person."""
        profile = browser.new_context(viewport=options.pop("viewport", PHONE), **options)
        page = profile.new_page()
        page.goto(f"{self.server.kitchen_url}/join")
        page.get_by_label("Join code").fill(self.code())
        page.get_by_role("button", name="Come in").click()
        page.get_by_role("button", name=person, exact=True).click()
        page.wait_for_url(f"{self.server.kitchen_url}/")
        page.close()
        return profile

    def __enter__(self) -> Self:
        self.server.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.server.kill()


def stored_events(kitchen: Kitchen) -> list[tuple[int, str, str]]:
    """Return number, event and batch of all that the server has stored, read from its file."""
    import json
    import sqlite3

    with sqlite3.connect(kitchen.server.data / "stagelarder.sqlite") as file:
        rows = file.execute("SELECT n, event, says FROM events ORDER BY n").fetchall()
    return [(n, event, json.loads(says).get("batch", "")) for n, event, says in rows]


def until_sent(page: Page, timeout_s: float = 30) -> None:
    """Wait until nothing waits in the page any more."""
    page.wait_for_function("window.outbox.ready && !document.querySelector('[data-waits]')")
    page.wait_for_function(
        "(production) => window.outbox.of(production).length === 0",
        arg=int(page.locator("#floor").get_attribute("data-production") or 0),
        timeout=timeout_s * 1000,
    )
