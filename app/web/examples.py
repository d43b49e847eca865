"""The example productions: opened with their ready-made plan where it fits."""

from app.exchange.dayfile import load_day, load_plan
from app.planning.audit import audit
from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import Refused
from app.storage.changes.plans import publish_plan
from app.storage.changes.productions import add_production
from app.storage.engine import writing
from app.storage.queries.plans import newest_number
from seed_demo import EXAMPLES, example, ready_plan

__all__ = ["EXAMPLES", "open_example"]


def open_example(name: str, *, by: str, once: str) -> int:
    """Add an example production, planned if its ready-made plan fits, and return its id."""
    day = load_day(example(name))
    plan = _fitting(day, ready_plan(name))
    with writing() as conn:
        production = add_production(conn, day, by=by, once=once)
        if plan is not None and newest_number(conn, production) == 0:
            publish_plan(conn, production, plan, by=by, once=f"{once}-plan")
    return production


def _fitting(day: Day, data: bytes | None) -> Plan | None:
    """Return the plan if it is of this day and keeps every rule."""
    if data is None:
        return None
    try:
        plan = load_plan(data)
    except Refused:
        return None
    return plan if plan.day == fingerprint(day) and not audit(day, plan) else None
