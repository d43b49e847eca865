"""A kitchen in the middle of its day: a planned production moved to now, served to phones."""

import json
import re
import sqlite3
import time
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from playwright.sync_api import Browser, BrowserContext, Page

from app.planning.day import Day
from app.planning.minutes import MINUTE_S, Clock
from app.planning.plan import Plan
from app.web.door import Door, door_key
from app.web.guard import COOKIE
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


def where_it_is_noon() -> str:
    """Return a time zone in which now is the middle of the day: no test runs over midnight."""
    ahead_h = 12 - time.gmtime().tm_hour
    return f"Etc/GMT{-ahead_h:+d}" if ahead_h else "Etc/GMT"


def at_this_moment(day: Day, plan: Plan, moment: str) -> tuple[Day, Plan]:
    """Return a day and its plan moved so that `moment` of the day is now."""
    zone = where_it_is_noon()
    clock = Clock(zone)
    minutes = int(time.time()) // MINUTE_S - clock.minute(moment)
    facts = day.model_dump(mode="json", by_alias=True, exclude_unset=True)
    today = Day.model_validate(moved(facts | {"timezone": zone}, clock, minutes))
    document = moved(plan.document(), clock, minutes)
    document.pop("day", None)
    return today, Plan.model_validate(document)


class Kitchen:
    """A server open to the kitchen's network, with a planned production or several alike."""

    def __init__(self, folder: Path, day: Day, plan: Plan | None, alike: int = 1) -> None:
        from app.storage.engine import close_store, open_store

        folder.mkdir(parents=True, exist_ok=True)
        open_store(folder / "stagelarder.sqlite")
        self.left = [stored(day, plan) for _ in range(alike)]
        close_store()
        self.production = self.left.pop(0)
        self.server = Server(folder, {"STAGELARDER_HOST": "0.0.0.0"})

    def clear(self) -> None:
        """Go on with a production that nobody has touched."""
        self.production = self.left.pop(0)

    def address(self, path: str) -> str:
        """Return an address of the production, on an origin that is not localhost."""
        return f"{self.server.kitchen_url}/productions/{self.production}/{path}"

    def code(self) -> str:
        """Return the join code that the server printed when it started last."""
        said = re.findall(r"Join code: (\d+)", self.server.log.read_text("utf-8"))
        return str(said[-1])

    def phone(self, browser: Browser, person: str, **options: Any) -> BrowserContext:
        """Return a browser profile that has joined and picked its person before."""
        profile = browser.new_context(**({"viewport": PHONE} | options))
        self.join(profile, person)
        return profile

    def join(self, profile: BrowserContext, person: str) -> None:
        """Give a browser profile the pass that joining would have given it."""
        signed = Door(door_key(self.server.data / "door.key"), time.monotonic).sign(person)
        profile.add_cookies([{"name": COOKIE, "value": signed, "url": self.server.kitchen_url}])

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
    """Return number, event and batch of all that is stored of the production, from the file."""
    with sqlite3.connect(kitchen.server.data / "stagelarder.sqlite") as file:
        rows = file.execute(
            "SELECT n, event, says FROM events WHERE production_id = ? ORDER BY n",
            (kitchen.production,),
        ).fetchall()
    return [(n, event, json.loads(says).get("batch", "")) for n, event, says in rows]


def until(page: Page, question: str, timeout_s: float = 15) -> None:
    """Wait until a question asked of the page is true; its policy forbids to wait inside it."""
    end = time.monotonic() + timeout_s
    while not page.evaluate(question):
        assert time.monotonic() < end, f"never true: {question}"
        page.wait_for_timeout(40)


def until_painted(page: Page) -> None:
    """Wait until the rows are painted and the outbox is read."""
    until(page, "Boolean(window.outbox && document.querySelector('[data-painted]'))")


def until_sent(page: Page, timeout_s: float = 30) -> None:
    """Wait until nothing waits in the page any more."""
    production = page.locator("#floor").get_attribute("data-production")
    until(page, "!document.querySelector('[data-waits]')", timeout_s)
    until(page, f"window.outbox.of({production}).length === 0", timeout_s)
