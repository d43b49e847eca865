"""What stands in a fresh store: an example production, already planned."""

import logging
import threading
from importlib.resources import files

from app.exchange.dayfile import load_day, load_plan
from app.planning.audit import audit
from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import Refused
from app.storage.changes.plans import publish_plan
from app.storage.engine import reading, writing
from app.storage.queries.productions import all_productions, removed_productions
from app.storage.refusals import Refusal, StoreTrouble
from app.storage.translate import store_day
from app.web.desk import Desk, Draft
from seed_demo import example

BY = "Stagelarder"
_LOG = logging.getLogger(__name__)


def put_example(name: str, desk: Desk) -> None:
    """Put an example production into a store that holds none and never held one.

    Its ready-made plan comes along. Where that doesn't fit the day any more, the day is planned
    at the desk, and the plan is published when it is there.
    """
    with reading() as conn:
        if all_productions(conn) or removed_productions(conn):
            return
    day = load_day(example(name))
    with writing() as conn:
        production = store_day(conn, day)
    plan = _ready(name, day)
    if plan is not None:
        _publish(production, plan)
        return
    draft = desk.begin(production, day, 1, BY)
    threading.Thread(target=_publish_later, args=(production, draft), daemon=True).start()


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


def _publish_later(production: int, draft: Draft) -> None:
    plan = draft.job.result()
    if plan is None:
        _LOG.error("The example has no plan yet. %s", draft.failed)
        return
    try:
        _publish(production, plan)
    except (Refusal, StoreTrouble) as why:
        # Somebody accepted it first, or the server was ended meanwhile.
        _LOG.info("The plan of the example is not published. %s", why)


def _publish(production: int, plan: Plan) -> None:
    with writing() as conn:
        publish_plan(conn, production, plan, by=BY, once=f"example-{production}")
