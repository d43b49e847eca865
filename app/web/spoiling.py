"""After a reading or a tick: what is for eating and may not be eaten any more is lost.

Once the reading that showed it is taken back, so is the loss; one that somebody ticked stays.

The log's own thread tells the news and must not wait, so a thread of this file looks. What it says
is a tick like any other: it names its reason and the next best copy, and can be taken back. Where
ticks come faster than it looks, it looks once for all that came meanwhile, and leaves most of the
time to those who tick.
"""

import logging
import threading
import time
from concurrent.futures import ThreadPoolExecutor

from app.planning import events
from app.planning.minutes import Clock
from app.planning.readings import (
    LONGEST_WHY,
    found_by,
    taken_back_by,
    told_by,
    told_by_readings,
)
from app.planning.spoilt import Spoiling, Spoilt, lost_because
from app.storage import news
from app.storage.engine import reading
from app.storage.log import append_each
from app.storage.queries.decisions import decisions
from app.storage.queries.plans import day_planned, published
from app.storage.queries.safety import house
from app.storage.queries.ticks import of_plan, states
from app.storage.refusals import Refusal, StoreTrouble
from app.storage.ticks import AnyTick, Lost, Measured, Staged, Started, Undone
from app.web.clocks import watch_now

LOOKED_AT = (Measured, Started, Staged, Undone)
RESTS, LONGEST_REST_S = 4, 0.5
_LOG = logging.getLogger(__name__)
# What each production waits to have looked at: the newest that was told.
_waiting: dict[int, AnyTick] = {}
_turn = threading.Lock()
_looking = ThreadPoolExecutor(max_workers=1, thread_name_prefix="spoiling")


def look(production: int, told: AnyTick) -> list[AnyTick]:
    """Say of each copy that may not be eaten any more that it is lost, and return what was said.

    A loss that was said so before is taken back where what stands does not show it any more.

    Parameters
    ----------
    told
        The reading or the tick that shows it; who told that says this too, at that minute.
    """
    with reading() as conn:
        plan = published(conn, production)
        if plan is None:
            return []
        day = day_planned(conn, production)
        if not any(stage.ready_to_eat for _, stage in day.all_stages()):
            return []
        ticked, log = states(conn, production), of_plan(conn, production)
        watch = watch_now(day, plan, ticked, house(conn), decisions(conn, production))
    if watch.is_bare and not told_by_readings(log):
        return []
    spoiling = Spoiling(day, plan, watch, ticked.lost)
    found = found_by(spoiling, log, Clock(day.timezone).minute(told.at))
    undo = next((each for each in reversed(log) if isinstance(each, Undone)), told)
    said: list[AnyTick] = [_back(undo, each, plan.number) for each in found.regained]
    said += [_lost(told, each, lost_because(day, each), plan.number) for each in found.spoilt]
    outcomes = append_each(production, said) if said else []
    for refused in (each for each in outcomes if isinstance(each, Refusal)):
        _LOG.warning("what a reading says of a copy could not be told: %s", refused.words)
    return said


def heard(told: news.News) -> None:
    """Have looked after what was just stored, if it says when or how warm something was."""
    last = next(
        (each for each in reversed(told.ticks) if isinstance(each, LOOKED_AT)),
        None,
    )
    if last is not None:
        with _turn:
            is_waiting = told.production in _waiting
            _waiting[told.production] = last
        if not is_waiting:
            _looking.submit(_look, told.production)


def _look(production: int) -> None:
    began = time.monotonic()
    with _turn:
        told = _waiting.pop(production)
    try:
        look(production, told)
    except StoreTrouble:
        _LOG.warning("the store was closed before a reading was looked at")
    except Exception:
        _LOG.exception("a reading of production %s could not be looked at", production)
    time.sleep(min(RESTS * (time.monotonic() - began), LONGEST_REST_S))


def _back(undo: AnyTick, loss: events.Lost, plan: int) -> Undone:
    at, by, once = taken_back_by(undo, loss)
    return Undone(at=at, by=by, once=once, plan=plan, undoes=loss.n)


def _lost(told: AnyTick, spoilt: Spoilt, why: str, plan: int) -> Lost:
    at, by, once = told_by(told, spoilt)
    short = why[:LONGEST_WHY]
    return Lost(at=at, by=by, once=once, plan=plan, copy_id=spoilt.copy.id, why=short)


news.listen(heard)
