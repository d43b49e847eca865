"""What papers take of the house: its law and limits, decisions by name, what was measured."""

from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from app.paper.of_house import Decided, OfHouse
from app.planning.plan import Plan
from app.storage.engine import reading
from app.storage.queries.decisions import decisions
from app.storage.queries.safety import house
from app.storage.queries.ticks import states
from app.web.clocks import watch_now
from app.web.seen import Seen


def of_house(seen: Seen, plan: Plan, beside: Iterable[Seen] = ()) -> OfHouse:
    """Return what the house knows beside a published plan, and what is decided beside it."""
    with reading() as conn:
        known, rows, ticked = house(conn), decisions(conn, seen.id), states(conn, seen.id)
        others = [frozenset(row.key for row in decisions(conn, each.id)) for each in beside]
    decided = tuple(Decided(row.key, row.decided, row.by, local(row.at, seen)) for row in rows)
    watch = watch_now(seen.planned, plan, ticked, known, rows)
    return OfHouse(known.allergen_law, decided, tuple(others), watch)


def local(text: str, seen: Seen) -> str:
    """Return a moment of the store as the clock of a production shows it."""
    moment = datetime.strptime(text, "%Y-%m-%dT%H:%M:%S%z")
    return moment.astimezone(ZoneInfo(seen.day.timezone)).strftime("%Y-%m-%dT%H:%M")
