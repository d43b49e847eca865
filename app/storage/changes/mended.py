"""A mended plan is published: it takes the place of one that is under way, and its day with it."""

from collections.abc import Sequence

from sqlalchemy import Connection

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.undoing import standing
from app.storage.changes.days import take_up
from app.storage.changes.plans import PUBLISHED, refuse_other, store_plan
from app.storage.changes.record import Places, record, repeated
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
    also: int | None = None,
) -> int:
    """Publish a mended plan with its day, and return the plan's number.

    Parameters
    ----------
    plan, day
        The mended plan, and the day as it stands after what happened.
    told, also
        The number of the last event that it knows of, and of one that was told because of it.
    began_from
        The number of the plan that it mends.

    Raises
    ------
    OutOfDate, Conflict
        If something that does not go with it has happened meanwhile, or been published.
    """
    if first := repeated(connection, once, PUBLISHED):
        return int(first.outcome["number"])
    newest = newest_number(connection, production)
    refuse_other(newest, began_from)
    events = [each for each in of_plan(connection, production) if each.n != also]
    _refuse_overtaken(plan_numbered(connection, production, newest), plan, events, told)
    places = take_up(connection, production, day_planned(connection, production), day)
    root = root_number(connection, production)
    named = plan.model_copy(update={"number": newest + 1})
    store_plan(connection, production, day, named, by=by, root=root, told=max(told, also or 0))
    return _recorded(connection, production, newest, places, by=by, once=once)


def _recorded(
    connection: Connection,
    production: int,
    newest: int,
    places: tuple[Places, Places],
    *,
    by: str,
    once: str,
) -> int:
    """Record that a plan was mended, and return the number of the one that mends it."""
    number = newest + 1
    before = {**places[0], "plan": {"number": newest}}
    after = {**places[1], "plan": {"number": number}}
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


def _refuse_overtaken(old: Plan, plan: Plan, events: Sequence[AnyTick], told: int) -> None:
    event = overtaken(old, plan, events, told)
    if event is not None:
        raise OutOfDate(
            f"{event.by} told something at {event.at[11:16]} that this plan does not know, so it "
            f"was not published; plan {old.number} still holds. Have it mended once more."
        )
