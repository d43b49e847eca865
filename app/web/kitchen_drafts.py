"""Drafts that follow when the kitchen of a production was changed from another one.

A kitchen may be that of many productions. Those that have a plan, or a draft of one, and are not
over get a draft of their own, one after the other in the order in which they were told: whenever
nothing else is worked out at the desk and nobody edits. What a person asks for comes first: a
search that follows gives way to it, and is begun anew at its next turn.
"""

import logging
import threading
from collections.abc import Callable
from datetime import datetime
from zoneinfo import ZoneInfo

from app.planning.reading import faults_of_day
from app.storage.engine import reading
from app.storage.queries.kitchens import changes_elsewhere
from app.storage.refusals import NotThere, StoreTrouble
from app.web.desk import Desk
from app.web.seen import NOBODY, Seen, see

_LOG = logging.getLogger(__name__)
Cancel = Callable[[], None]
Later = Callable[[float, Callable[[], None]], Cancel]
Today = Callable[[str], str]


def today_in(timezone: str) -> str:
    """Return the date that it is in a time zone."""
    return datetime.now(ZoneInfo(timezone)).date().isoformat()


class KitchenDrafts:
    """Holds the productions that wait for a draft since their kitchen was changed elsewhere.

    `has_edits` tells whether edits of any production are being waited after; `today` returns the
    date in a time zone.
    """

    def __init__(
        self,
        desk: Callable[[], Desk],
        later: Later,
        wait_s: float,
        has_edits: Callable[[], bool],
        today: Today = today_in,
    ) -> None:
        self._desk, self._later, self._wait_s = desk, later, wait_s
        self._has_edits, self._today = has_edits, today
        self._waiting: dict[int, None] = {}
        self._cancel: Cancel | None = None
        self._turn = threading.Lock()
        self._is_closed = False

    def close(self) -> None:
        """Begin nothing any more."""
        with self._turn:
            self._is_closed = True
            self._waiting.clear()
            self._call_off()

    def join(self, production: int) -> None:
        """Put a production at the end of those that wait, where it doesn't wait already."""
        with self._turn:
            self._waiting.setdefault(production)
            self._look_later()

    def leave(self, production: int) -> None:
        """Wait no more: somebody has discarded the draft of it."""
        with self._turn:
            self._waiting.pop(production, None)

    def holds(self, production: int) -> bool:
        """Tell whether a production still waits for its turn, or for the end of its planning."""
        with self._turn:
            return production in self._waiting

    def _call_off(self) -> None:
        if self._cancel is not None:
            self._cancel()
        self._cancel = None

    def _look_later(self) -> None:
        self._call_off()
        if self._waiting and not self._is_closed:
            self._cancel = self._later(self._wait_s, self._look)

    def _look(self) -> None:
        with self._turn:
            self._cancel = None
            waiting = tuple(self._waiting)
        for production in waiting:
            if self._has_edits() or self._desk().is_busy:
                break
            if not self._take(production):
                self.leave(production)
        with self._turn:
            if self._cancel is None:
                self._look_later()

    def _take(self, production: int) -> bool:
        """Begin a draft, and tell whether there was a need of one."""
        try:
            seen, desk = see(production), self._desk()
            draft = desk.draft(production)
            is_over = is_over_by(seen, self._today(seen.day.timezone))
            if is_over or (seen.plan is None and draft is None):
                return False
            return bring_up_to_date(desk, seen, _who_changed(production), gives_way=True)
        except NotThere:
            _LOG.info("Production %d was removed before its draft could follow.", production)
        except StoreTrouble as why:
            _LOG.warning("No draft of production %d follows its kitchen. %s", production, why)
        return False


def is_over_by(seen: Seen, today: str) -> bool:
    """Tell whether the last run of a production lies before a date."""
    return all(run.starts[:10] < today for run in seen.day.runs)


def _who_changed(production: int) -> str:
    with reading() as conn:
        found = changes_elsewhere(conn, production)
    return found[0].by if found else NOBODY


def bring_up_to_date(desk: Desk, seen: Seen, by: str, *, gives_way: bool = False) -> bool:
    """Have a whole production planned that has no plan of its day, and tell whether it is begun.

    A draft of a day that no longer stands goes where the plan holds again.
    """
    draft = desk.draft(seen.id)
    if draft is not None and (draft.mends is not None or draft.day == seen.day):
        return False
    if seen.plan is not None and not seen.is_outdated:
        # What was changed was taken back: a draft of what no longer stands helps nobody.
        if draft is not None:
            desk.discard(seen.id)
        return False
    if seen.has_begun or not seen.day.runs or faults_of_day(seen.day):
        return False
    number = (seen.plan.number if seen.plan else 0) + 1
    desk.begin(seen.id, seen.day, number, by, gives_way=gives_way)
    return True
