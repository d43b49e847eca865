"""What stands in a fresh store: an example production, already planned."""

import logging
import threading

from app.storage.changes.drafts import drop_draft
from app.storage.changes.plans import publish_plan
from app.storage.engine import reading, writing
from app.storage.queries.drafts import productions_with_drafts
from app.storage.queries.plans import newest_number
from app.storage.queries.productions import all_productions, removed_productions
from app.storage.refusals import Refusal, StoreTrouble
from app.storage.translate import day_of
from app.web.desk import Desk, Draft
from app.web.examples import open_example

BY = "Stagelarder"
_LOG = logging.getLogger(__name__)


def put_example(name: str, desk: Desk) -> None:
    """Put an example production into a store that holds none and never held one.

    Where its ready-made plan doesn't fit the day any more, the day is planned at the desk, and
    the plan is published when it is there; if the server ended meanwhile, that goes on.
    """
    with reading() as conn:
        if all_productions(conn) or removed_productions(conn):
            begun = productions_with_drafts(conn, BY)
        else:
            begun = [open_example(name, by=BY, once=f"first-{name}")]
    for production in begun:
        _plan_first(production, desk)


def _plan_first(production: int, desk: Desk) -> None:
    with reading() as conn:
        if newest_number(conn, production) > 0:
            return
        day = day_of(conn, production)
    draft = desk.draft(production)
    if draft is None or draft.failed:
        draft = desk.begin(production, day, 1, BY)
    threading.Thread(target=_publish_later, args=(production, desk, draft), daemon=True).start()


def _publish_later(production: int, desk: Desk, draft: Draft) -> None:
    plan = draft.job.result()
    if plan is None:
        _LOG.error("The example has no plan yet. %s", draft.failed)
        return
    try:
        with writing() as conn:
            publish_plan(conn, production, plan, by=BY, once=f"first-plan-{production}")
            drop_draft(conn, production)
    except (Refusal, StoreTrouble) as why:
        # Somebody accepted it first, or the server was ended meanwhile.
        _LOG.info("The plan of the example is not published. %s", why)
    else:
        desk.clear(production)
