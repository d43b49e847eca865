"""Planning outside the request: in a process of its own, with progress and a stop.

A plan that lacks something comes with what stands in the way and what would help. Every plan is
audited here before anybody gets it. A breach is a fault of the program: it is
logged with all its words, and the plan is kept back.
"""

import contextlib
import logging
import os
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from multiprocessing.connection import Connection
from typing import Any

from app.planning.audit import audit
from app.planning.day import Day
from app.planning.events import AnyEvent
from app.planning.plan import Plan, Remedy
from app.web.apart import Apart
from app.web.drawing import NotDrawn, drawn_apart

__all__ = ["NotDrawn", "PlanJob", "Told", "drawn_apart"]
Solver = Callable[..., Plan]
STOP = "stop"
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True)
class Told:
    """How far the planner is: which goal it works on, its best and its bound, seconds so far.

    `found` is a plan that lacks something, or the remedies of it, while others are looked for.
    """

    goal: str
    best: float | None
    bound: float | None
    seconds: float
    found: Plan | tuple[Remedy, ...] | None = None


@dataclass(frozen=True)
class _Broken:
    words: str


class PlanJob:
    """One day being planned. Any thread may ask it; it ends by itself, by `stop` or by `kill`.

    Where the day is under way, `events` are what has happened up to the local time `at`.
    """

    def __init__(
        self,
        day: Day,
        seconds: float | None = None,
        number: int = 1,
        *,
        solver: Solver | None = None,
        events: tuple[AnyEvent, ...] = (),
        at: str | None = None,
        politeness: int = 5,
    ) -> None:
        self.day, self.events, self.at = day, events, at
        self.failed: str | None = None
        self._plan: Plan | None = None
        self._so_far: Plan | None = None
        self._told: Told | None = None
        self._done = threading.Event()
        self._start = partial(Apart, _plan, day, seconds, number, solver, politeness)
        self._child = self._start()
        self._is_to_stop = False
        threading.Thread(target=self._listen, daemon=True).start()

    def progress(self) -> Told | None:
        """Return what the planner told last."""
        return self._told

    def so_far(self) -> Plan | None:
        """Return the audited plan that lacks something, with what was found to help by now.

        None while the plan itself is worked out. The remedies stand in the order of finding.
        """
        return self._so_far

    @property
    def is_done(self) -> bool:
        """Return whether nothing more will come: there is a plan, or `failed` says why not."""
        return self._done.is_set()

    def stop(self) -> None:
        """Ask the planner to end with the best plan that it has."""
        self._is_to_stop = True
        with contextlib.suppress(OSError):
            self._child.pipe.send(STOP)

    def kill(self) -> None:
        """End the planner at once, without a plan."""
        if not self.is_done:
            self.failed = self.failed or "The planning was stopped before there was a plan."
        self._child.kill()

    def result(self, timeout: float | None = None) -> Plan | None:
        """Return the audited plan; None while there is none, and when there will be none."""
        self._done.wait(timeout)
        return self._plan if self.failed is None else None

    def _listen(self) -> None:
        try:
            self._hear_all()
            if not self._has_come and self._child.has_aborted():
                self._start_again()
                self._hear_all()
            if not self._has_come:
                how = self._child.ended()
                self.failed = f"The planner's process is gone: {how}. Nothing was changed."
        finally:
            self._done.set()
            # What the child still holds is of no use to anybody.
            self._child.kill()
            self._child.ended()

    @property
    def _has_come(self) -> bool:
        return self._plan is not None or self.failed is not None

    def _hear_all(self) -> None:
        # A child that died sends nothing more, or the half of a message.
        with contextlib.suppress(EOFError, OSError):
            while not self._has_come:
                self._hear(self._child.pipe.recv())

    def _start_again(self) -> None:
        """Plan once more: the engine ends its process, rarely, when one of its own checks fails."""
        _LOG.warning("The planner's process aborted and is started again.")
        self._child = self._start()
        if self._is_to_stop:
            self.stop()

    def _hear(self, said: object) -> None:
        match said:
            case Told():
                self._told = said
                self._find(said.found)
            case Plan():
                self._keep(said)
            case _Broken(words):
                _LOG.error("The planner failed.\n%s", words)
                self.failed = (
                    f"The planner failed, which is a fault of this program: {_last(words)}. "
                    "Nothing was changed."
                )

    def _find(self, found: Plan | tuple[Remedy, ...] | None) -> None:
        before = self._so_far
        if isinstance(found, Plan):
            # The same plan comes twice, the second time with what stands in its way.
            is_known = before is not None and before.batches == found.batches
            self._so_far = found if is_known or not self._breaches(found) else None
        elif found is not None and before is not None:
            self._so_far = before.model_copy(update={"remedies": found})

    def _breaches(self, plan: Plan) -> list[str]:
        try:
            return [str(breach) for breach in audit(self.day, plan, self.events, self.at)]
        except Exception:
            _LOG.exception("The audit failed.")
            return ["the plan could not be checked"]

    def _keep(self, plan: Plan) -> None:
        breaches = self._breaches(plan)
        if not breaches:
            self._plan = plan
            return
        _LOG.error("The planner broke %d rules.\n%s", len(breaches), "\n".join(breaches))
        self.failed = (
            "The plan that was found breaks a rule, which is a fault of this program, "
            f"so it is not shown: {breaches[0]}"
        )


def _last(words: str) -> str:
    return words.strip().splitlines()[-1].rstrip(".")


def _plan(
    pipe: Connection,
    day: Day,
    seconds: float | None,
    number: int,
    solver: Solver | None,
    politeness: int,
) -> None:
    os.nice(politeness)
    try:
        plan = (solver or _solver())(
            day,
            seconds=seconds,
            number=number,
            now=time.monotonic,
            stop=_StopAsked(pipe),
            tell=lambda progress: pipe.send(_told(progress)),
        )
    except Exception:
        pipe.send(_Broken(_trace()))
    else:
        pipe.send(plan)


def _solver() -> Solver:
    # Only the child carries the engine.
    from app.planning.advice import planned

    return planned


def _told(progress: Any) -> Told:
    return Told(progress.goal, progress.best, progress.bound, progress.seconds, progress.found)


def _trace() -> str:
    import traceback

    return traceback.format_exc()


class _StopAsked:
    """Whether the parent said stop; once said, it stays said."""

    def __init__(self, pipe: Connection) -> None:
        self._pipe = pipe
        self._said = False
        self._lock = threading.Lock()

    def __call__(self) -> bool:
        with self._lock:
            if not self._said and self._pipe.poll():
                self._said = self._pipe.recv() == STOP
            return self._said
