"""The example productions: opened with their ready-made plan where it fits."""

from importlib.resources import files

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
from seed_demo import EXAMPLES, example

__all__ = ["EXAMPLES", "open_example"]


def open_example(name: str, *, by: str, once: str) -> int:
    """Add an example production, planned if its ready-made plan fits, and return its id."""
    day = load_day(example(name))
    plan = _ready(name, day)
    with writing() as conn:
        production = add_production(conn, day, by=by, once=once)
        if plan is not None and newest_number(conn, production) == 0:
            publish_plan(conn, production, plan, by=by, once=f"{once}-plan")
    return production


def _ready(name: str, day: Day) -> Plan | None:
    """Return the ready-made plan if there is one, of this day, that keeps every rule."""
    file = files("seed_demo").joinpath(f"{name}.plan.json")
    if not file.is_file():
        return None
    try:
        plan = load_plan(file.read_bytes())
    except Refused:
        return None
    return plan if plan.day == fingerprint(day) and not audit(day, plan) else None
