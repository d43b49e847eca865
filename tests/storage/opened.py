"""A store of its own a test, and short words for what most tests do to it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.plans import publish_plan
from app.storage.changes.productions import add_production
from app.storage.engine import close_store, open_store, writing
from app.storage.ticks import AnyTick, tick_of

AT = "2027-03-04T11:49"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Path]:
    """Yield the file of an open, empty store."""
    path = tmp_path / "stagelarder.sqlite"
    open_store(path)
    yield path
    close_store()


@pytest.fixture
def knots(store: Path, knots_day: Day) -> int:
    """Return the knots production, without a plan."""
    with writing() as connection:
        return add_production(connection, knots_day, by="Ada", once="knots")


@pytest.fixture
def planned(knots: int, knots_plan: Plan) -> int:
    """Return the knots production with its plan published."""
    with writing() as connection:
        publish_plan(connection, knots, knots_plan, by="Ada", once="knots-plan")
    return knots


def tick(event: str, once: str, **says: object) -> AnyTick:
    """Return a tick of cook-1."""
    return tick_of({"at": AT, "by": "cook-1", "once": once, "event": event} | says)
