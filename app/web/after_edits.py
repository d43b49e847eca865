"""A draft plan follows the edits by itself: once they have stopped, whether or not a page is open.

Every saved change of a production starts the wait anew. When it has passed, a whole production
whose plan is none or out of date is planned at the desk, once for each day; a draft of a day that
no longer stands is begun anew. A wait that a restart of the server cut short begins again with the
first page that is open: `look`. Others in the same kitchen follow in `kitchen_drafts.py`.
"""

import logging
import threading
from collections.abc import Callable

from fastapi import Request

from app.storage import news
from app.storage.changes.plans import PUBLISHED
from app.storage.changes.productions import ADDED, BROUGHT_BACK, COPIED, REMOVED
from app.storage.engine import reading
from app.storage.queries.history import history
from app.storage.refusals import NotThere, StoreTrouble
from app.web.desk import Desk
from app.web.kitchen_drafts import Cancel, KitchenDrafts, Later, Today, bring_up_to_date, today_in
from app.web.seen import see

WAIT_S = 6.0
NO_EDITS = frozenset({ADDED, COPIED, REMOVED, BROUGHT_BACK, PUBLISHED})
_LOG = logging.getLogger(__name__)


def _by_clock(wait_s: float, then: Callable[[], None]) -> Cancel:
    timer = threading.Timer(wait_s, then)
    timer.daemon = True
    timer.start()
    return timer.cancel


class AfterEdits:
    """Waits after the edits of each production and has a draft begun.

    `desk` returns the desk at which plans are worked out; `later` has something done after so many
    seconds and returns how to call that off; `today` returns the date in a time zone.
    """

    def __init__(
        self,
        desk: Callable[[], Desk],
        later: Later = _by_clock,
        wait_s: float = WAIT_S,
        today: Today = today_in,
    ) -> None:
        self._desk, self._later, self._wait_s = desk, later, wait_s
        self._waits: dict[int, Cancel] = {}
        self._known: set[int] = set()
        self._turn = threading.Lock()
        self._kitchens = KitchenDrafts(desk, later, wait_s, self._has_edits, today)
        self._stop = news.listen(self._heard)

    def close(self) -> None:
        """Begin nothing any more."""
        self._stop()
        self._kitchens.close()
        with self._turn:
            for cancel in self._waits.values():
                cancel()
            self._waits.clear()

    def look(self, production: int) -> None:
        """Wait after edits that an earlier server heard of and did not get to."""
        with self._turn:
            is_known = production in self._known
        if not is_known:
            self._wait(production)

    def forget(self, production: int) -> None:
        """Wait no more: whoever discards a draft wants none of these edits."""
        with self._turn:
            self._known.add(production)
            before = self._waits.pop(production, None)
        self._kitchens.leave(production)
        if before is not None:
            before()

    def is_to_follow(self, production: int) -> bool:
        """Tell whether a draft follows: of edits, or a change of the kitchen made elsewhere."""
        with self._turn:
            waits = production in self._waits
        return waits or self._kitchens.holds(production)

    def _has_edits(self) -> bool:
        with self._turn:
            return bool(self._waits)

    def _heard(self, told: news.News) -> None:
        if told.kind == "day":
            self._wait(told.production)
        elif told.kind == "kitchen":
            self._kitchens.join(told.production)

    def _wait(self, production: int) -> None:
        with self._turn:
            self._known.add(production)
            before = self._waits.pop(production, None)
            if before is not None:
                before()
            self._waits[production] = self._later(self._wait_s, lambda: self._begin(production))

    def _begin(self, production: int) -> None:
        with self._turn:
            self._waits.pop(production, None)
        try:
            by = _last_editor(production)
            if by:
                bring_up_to_date(self._desk(), see(production), by)
            else:
                self._kitchens.join(production)
        except NotThere:
            _LOG.info("Production %d was removed before it could be planned.", production)
        except StoreTrouble as why:
            _LOG.warning("No draft follows the edits of production %d. %s", production, why)


def _last_editor(production: int) -> str:
    """Return who made the last change, where that is an edit and no plan followed it."""
    with reading() as conn:
        newest = history(conn, production, most=1)
    return newest[0].by if newest and newest[0].what not in NO_EDITS else ""


def after_edits_of(request: Request) -> AfterEdits | None:
    """Return what waits after edits in the app that answers, if it has been started."""
    found: AfterEdits | None = getattr(request.app.state, "after_edits", None)
    return found
