"""The planning desk: for each production at most one draft plan, being worked out or waiting.

A draft is kept in the store as well: a finished one still waits when the server was started again,
and of one that was being worked out it is told that nothing came of it.
"""

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from fastapi import Request

from app.planning.audit import audit
from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.drafts import begin_draft, drop_draft, end_draft
from app.storage.engine import Store, opened, reading, writing
from app.storage.queries.drafts import KeptDraft, draft_of
from app.storage.refusals import StoreTrouble
from app.web.jobs import PlanJob, Told
from app.web.mending import Mends
from app.web.offers import Offer, offers_of

ENDED = (
    "The server ended while this plan was being worked out, so nothing came of it. Nothing else "
    "was changed; have it worked out again."
)
BROKEN = (
    "A draft was kept while the server was ended, but it breaks a rule of this version of the "
    "program, so it is not shown. Have it worked out again."
)
LOOK_S = 0.2
_LOG = logging.getLogger(__name__)


class Work(Protocol):
    """What a draft comes from: a planner at work, or what is left of one."""

    @property
    def is_done(self) -> bool:
        """Return whether nothing more will come."""

    @property
    def failed(self) -> str | None:
        """Return why there is no plan, if there will be none."""

    def progress(self) -> Told | None:
        """Return what the planner told last."""

    def so_far(self) -> Plan | None:
        """Return a plan that lacks something, while it is looked for what would help."""

    def result(self, timeout: float | None = None) -> Plan | None:
        """Return the plan once it is there."""

    def stop(self) -> None:
        """Ask for the best plan so far."""

    def kill(self) -> None:
        """End it without a plan."""


Maker = Callable[[Day, int], Work]
MenderOf = Callable[[Mends], Work]
Offerer = Callable[["Draft"], None]


@dataclass(frozen=True)
class Kept:
    """What is left of a planner's work after the server was started again."""

    plan: Plan | None
    failed: str | None
    is_done: bool = True

    def progress(self) -> Told | None:
        """Return nothing: it told that to the server that has ended."""

    def so_far(self) -> Plan | None:
        """Return nothing: whatever there was is the plan."""

    def result(self, timeout: float | None = None) -> Plan | None:
        """Return the plan, if there was one."""
        return self.plan

    def stop(self) -> None:
        """Do nothing: it is over."""

    def kill(self) -> None:
        """Do nothing: it is over."""


@dataclass
class Draft:
    """A plan in the making for the day as it stood when somebody asked for it.

    `mends` says what it mends, if the day is under way; such a draft is not kept in the store: it
    is worked out again in seconds, from what has happened by then. `offers` are other ways to go
    on, as they are found. One that `gives_way` nobody asked for: it ends when a person asks for
    another.
    """

    day: Day
    job: Work
    by: str
    mends: Mends | None = None
    since: float = field(default_factory=time.monotonic)
    is_stopped: bool = False
    offers: list[Offer] = field(default_factory=list)
    is_offering: bool = False
    is_dropped: bool = False
    gives_way: bool = False

    @property
    def is_working(self) -> bool:
        """Return whether the planner still works."""
        return not self.job.is_done

    @property
    def plan(self) -> Plan | None:
        """Return the plan once it is there."""
        return self.job.result(0) if self.job.is_done else None

    @property
    def failed(self) -> str | None:
        """Return why there is no plan, if there will be none."""
        return self.job.failed if self.job.is_done else None

    @property
    def told(self) -> Told | None:
        """Return what the planner told last."""
        return self.job.progress()

    @property
    def seconds(self) -> float:
        """Return how long it has been asked for."""
        return time.monotonic() - self.since


class Desk:
    """Holds the draft of each production."""

    def __init__(
        self,
        maker: Maker | None = None,
        mender: MenderOf | None = None,
        offerer: Offerer | None = None,
    ) -> None:
        self.maker: Maker = maker or _job
        self.mender: MenderOf = mender or _mending_job
        self.offerer: Offerer = offerer or _find_offers
        self._drafts: dict[int, Draft | None] = {}
        self._turn = threading.Lock()

    def draft(self, production: int) -> Draft | None:
        """Return the draft of a production, if there is one, also of a server that has ended."""
        with self._turn:
            if production not in self._drafts:
                self._drafts[production] = _restored(production)
            return self._drafts[production]

    @property
    def is_busy(self) -> bool:
        """Return whether any plan is being worked out."""
        with self._turn:
            return any(draft is not None and draft.is_working for draft in self._drafts.values())

    def begin(
        self, production: int, day: Day, number: int, by: str, *, gives_way: bool = False
    ) -> Draft:
        """Have a plan worked out; one that is being worked out for the same day goes on."""
        with self._turn:
            before = self._drafts.get(production)
            is_fresh = before is not None and before.is_working and before.mends is None
            if before is not None and is_fresh and before.day == day:
                before.gives_way = before.gives_way and gives_way
                return before
            _end(before)
            if not gives_way:
                self._make_way()
            with writing() as conn:
                key = begin_draft(conn, production, day, by=by)
            draft = Draft(day, self.maker(day, number), by, gives_way=gives_way)
            self._drafts[production] = draft
        threading.Thread(target=_keep, args=(opened(), key, draft.job), daemon=True).start()
        return draft

    def mend(self, production: int, mends: Mends, by: str) -> Draft:
        """Have the published plan mended, in place of any draft before."""
        with self._turn:
            _end(self._drafts.get(production))
            self._make_way()
            with writing() as conn:
                drop_draft(conn, production)
            draft = self._drafts[production] = Draft(mends.day, self.mender(mends), by, mends)
            draft.is_offering = True
        threading.Thread(target=self.offerer, args=(draft,), daemon=True).start()
        return draft

    def _make_way(self) -> None:
        """End the searches that nobody asked for."""
        for production, draft in self._drafts.items():
            if draft is not None and draft.gives_way and draft.is_working:
                with writing() as conn:
                    drop_draft(conn, production)
                _end(draft)
                self._drafts[production] = None

    def stop(self, production: int) -> None:
        """Have the planner end with the best plan it has."""
        draft = self.draft(production)
        if draft is not None and draft.is_working:
            draft.is_stopped = True
            draft.job.stop()

    def discard(self, production: int) -> None:
        """Forget the draft, in the store too."""
        with writing() as conn:
            drop_draft(conn, production)
        self.clear(production)

    def clear(self, production: int) -> None:
        """Take the draft from the desk: the store has forgotten it already."""
        with self._turn:
            draft, self._drafts[production] = self._drafts.get(production), None
        _end(draft)


def desk_of(request: Request) -> Desk:
    """Return the desk of the app that answers."""
    state = request.app.state
    if not hasattr(state, "desk"):
        state.desk = Desk()
    found: Desk = state.desk
    return found


def _job(day: Day, number: int) -> Work:
    return PlanJob(day, number=number)


def _mending_job(mends: Mends) -> Work:
    return PlanJob(mends.day, solver=mends.mender, events=mends.mender.events, at=mends.mender.at)


def _end(draft: Draft | None) -> None:
    """End all work on a draft that nobody wants any more."""
    if draft is not None:
        draft.is_dropped = True
        if draft.is_working:
            draft.job.kill()


def _find_offers(draft: Draft) -> None:
    """Work out other ways to go on, once a plan is mended, as long as somebody wants them."""

    def wait(job: PlanJob) -> Plan | None:
        while not job.is_done and not draft.is_dropped:
            job.result(LOOK_S)
        if draft.is_dropped:
            job.kill()
        return job.result()

    try:
        plan = draft.job.result()
        if plan is not None and draft.mends is not None and not draft.is_stopped:
            for offer in offers_of(draft.mends, plan, draft.by, wait):
                draft.offers.append(offer)
    finally:
        draft.is_offering = False


def _keep(store: Store, key: str, job: Work) -> None:
    """Wait until a planner ends, and keep what came of it in the store that it began for."""
    plan = job.result()
    try:
        if opened() is store:
            with writing() as conn:
                end_draft(conn, key, plan, job.failed)
    except StoreTrouble as why:
        _LOG.warning("A draft lives in memory only. %s", why)


def _restored(production: int) -> Draft | None:
    with reading() as conn:
        kept = draft_of(conn, production)
    return None if kept is None else Draft(kept.day, _left_of(kept), kept.by)


def _left_of(kept: KeptDraft) -> Kept:
    if kept.plan is None:
        return Kept(None, kept.failed or ENDED)
    if audit(kept.day, kept.plan):
        return Kept(None, BROKEN)
    return Kept(kept.plan, None)
