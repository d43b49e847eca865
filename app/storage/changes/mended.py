"""A mended plan is published: it takes the place of one that is under way, and its day with it."""

from collections.abc import Sequence

from sqlalchemy import Connection

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.undoing import standing
from app.storage.changes.days import take_up
from app.storage.changes.plans import PUBLISHED, refuse_other, store_plan
from app.storage.changes.record import record, repeated
from app.storage.queries.plans import day_planned, newest_number, plan_numbered, root_number
from app.storage.queries.ticks import of_plan
from app.storage.refusals import OutOfDate
from app.storage.ticks import AnyTick, Measured, Staged, Started


def publish_mended(
    connection: Connection,
    production: int,
    plan: Plan,
    day: Day,
    *,
    told: int,
    began_from: int,
    by: str,
    once: str,
) -> int:
    """Publish a mended plan, let the production become its day, and return the plan's number.

    Parameters
    ----------
    plan, day
        The mended plan, and the day as it stands after what happened.
    told
        The number of the last event that the plan knows of.
    began_from
        The number of the plan that it mends.

    Raises
    ------
    OutOfDate
        If something has happened meanwhile that does not go with the plan.
    Conflict
        If somebody else has published a plan meanwhile.
    """
    if first := repeated(connection, once, PUBLISHED):
        return int(first.outcome["number"])
    newest = newest_number(connection, production)
    refuse_other(newest, began_from)
    _refuse_overtaken(connection, production, newest, plan, told)
    before, after = take_up(connection, production, day_planned(connection, production), day)
    number, root = newest + 1, root_number(connection, production)
    numbered = plan.model_copy(update={"number": number})
    store_plan(connection, production, day, numbered, by=by, root=root, told=told)
    before |= {"plan": {"number": newest}}
    after |= {"plan": {"number": number}}
    words = f"{by} accepted plan {number}, which mends plan {newest}."
    outcome = {"number": number}
    record(
        connection, production, PUBLISHED, words, before, after, by=by, once=once, outcome=outcome
    )
    return number


def overtaken(old: Plan, new: Plan, events: Sequence[AnyTick], told: int) -> AnyTick | None:
    """Return the first event that a mended plan does not go with, if there is one.

    Parameters
    ----------
    old, new
        The plan that people work from, and the one that mends it.
    events
        All that was told of the old one, in order.
    told
        The last event that the new one knows of. What was begun or staged since as both plans
        say is no matter.
    """
    before = {batch.id: batch for batch in old.batches}
    after = {batch.id: batch for batch in new.batches}
    for event in standing(events):
        if (event.n or 0) <= told or isinstance(event, Measured):
            continue
        is_work = isinstance(event, Started) or (isinstance(event, Staged) and not event.lost)
        if not isinstance(event, Started | Staged) or not is_work:
            return event
        was, now = before.get(event.batch), after.get(event.batch)
        if was is None or now is None or (was.starts, was.copies) != (now.starts, now.copies):
            return event
    return None


def _refuse_overtaken(
    connection: Connection, production: int, newest: int, plan: Plan, told: int
) -> None:
    old = plan_numbered(connection, production, newest)
    event = overtaken(old, plan, of_plan(connection, production), told)
    if event is not None:
        raise OutOfDate(
            f"{event.by} told something at {event.at[11:16]} that this plan does not know, so it "
            f"was not published; plan {newest} still holds. Have it mended once more."
        )
