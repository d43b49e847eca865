"""Plans are published: numbered, kept for ever, and refused once the day has begun."""

import json

from sqlalchemy import Connection

from app.planning.canonical import canonical, fingerprint
from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.record import Places, record, repeated
from app.storage.clock import now
from app.storage.queries.plans import newest_number
from app.storage.queries.ticks import states
from app.storage.refusals import Begun, Conflict, OutOfDate
from app.storage.tables.plans import PLANS
from app.storage.translate import day_of
from app.storage.translate.plans import store_batches, store_copies
from app.storage.translate.rows import insert_rows

PUBLISHED = "plan published"


def publish_plan(
    connection: Connection,
    production: int,
    plan: Plan,
    *,
    began_from: int | None = None,
    by: str,
    once: str,
) -> int:
    """Publish a plan of a production and return the number that it got.

    `began_from` is the number of the published plan that the person saw beside the new one (0
    for none); without it nobody asks whether another was published meanwhile.

    Raises
    ------
    Begun
        If something of the published plan has begun.
    OutOfDate
        If the day has changed since the plan was worked out.
    Conflict
        If somebody else has published a plan meanwhile.
    """
    if first := repeated(connection, once, PUBLISHED):
        return int(first.outcome["number"])
    day = day_of(connection, production)
    newest = newest_number(connection, production)
    _refuse_begun(connection, production, newest, day)
    _refuse_outdated(day, plan)
    if began_from is not None:
        refuse_other(newest, began_from)
    number = newest + 1
    store_plan(connection, production, day, plan.model_copy(update={"number": number}), by=by)
    words, before = f"{by} published plan {number}.", {"number": newest} if newest else None
    places: tuple[Places, Places] = {"plan": before}, {"plan": {"number": number}}
    outcome = {"number": number}
    record(connection, production, PUBLISHED, words, *places, by=by, once=once, outcome=outcome)
    return number


def refuse_other(newest: int, began_from: int) -> None:
    """Raise Conflict if another plan was published since somebody saw one."""
    if newest != began_from:
        raise Conflict(
            f"Plan {newest} was published while you looked at yours. Nothing was changed; "
            "look at what changes now, then accept or discard yours.",
            field="plan",
            theirs=newest,
            yours=began_from,
            by="",
        )


def _refuse_begun(connection: Connection, production: int, newest: int, day: Day) -> None:
    begun = states(connection, production).under_way(day) if newest else []
    if begun:
        first = begun[0]
        raise Begun(
            f"Plan {newest} has begun: {first.by} ticked the first of it at {first.at[11:16]}. "
            "A new plan would not know what is already made, so it was not published; "
            f"plan {newest} still holds. Have it mended instead."
        )


def _refuse_outdated(day: Day, plan: Plan) -> None:
    if plan.day is not None and plan.day != fingerprint(day):
        raise OutOfDate(
            "The production has changed since this plan was worked out, so it was not published. "
            "Work the plan out again; the published one still holds."
        )


def store_plan(
    connection: Connection,
    production: int,
    day: Day,
    plan: Plan,
    *,
    by: str,
    root: int | None = None,
    told: int | None = None,
) -> None:
    """Store a plan with its day; `root` and `told` are for one that mends another."""
    plan = plan.model_copy(update={"day": fingerprint(day)})
    row = {
        "production_id": production,
        "number": plan.number,
        "status": plan.status,
        "day_fingerprint": plan.day,
        "day_document": canonical(day).decode(),
        "document": json.dumps(plan.document(), ensure_ascii=False, separators=(",", ":")),
        "published_at": now(),
        "published_by": by,
        "root": root,
        "told": told,
    }
    plan_id = insert_rows(connection, PLANS, [row])[0]
    store_batches(connection, plan, plan_id)
    store_copies(connection, plan, plan_id)
