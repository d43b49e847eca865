"""A plan being worked out, watched from a terminal."""

import sys
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.planning.plan import Plan
    from app.web.jobs import PlanJob, Told

LOOK_S = 0.2
CLEAR_LINE = "\r\x1b[K"


def watched(job: "PlanJob") -> "Plan | None":
    """Wait for the plan, tell how far it is on a terminal, and let Ctrl-C stop it.

    What stands in the way, and what would help, are told on stderr, a line each when found.
    """
    began, stops, lines = time.monotonic(), 0, 0
    while not job.is_done:
        try:
            job.result(LOOK_S)
            lines = _tell_new(job.so_far(), lines)
            _tell(f"{_words(job.progress())}, {time.monotonic() - began:.0f} s")
        except KeyboardInterrupt:
            stops += 1
            job.kill() if stops > 1 else job.stop()
    _tell("")
    return job.result()


def _tell_new(plan: "Plan | None", before: int) -> int:
    """Print the lines of what was found, but for those that were told before; return how many."""
    from app.planning.remedies.price import dearer

    if plan is None:
        return before
    said = [f"In the way: {each.words}" for each in plan.blockers]
    said += [f"Would help: {each.words} {dearer(plan, each)}" for each in plan.remedies]
    for line in said[before:]:
        _tell("")
        print(line, file=sys.stderr, flush=True)
    return len(said)


def _tell(line: str) -> None:
    if sys.stderr.isatty():
        print(f"{CLEAR_LINE}{line}", end="", file=sys.stderr, flush=True)


LOOKING = {
    "blockers": "looking for what stands in the way",
    "remedies": "trying what would help",
}


def _words(told: "Told | None") -> str:
    if told is None:
        return "reading the day"
    if told.goal in LOOKING:
        return f"{LOOKING[told.goal]}: {_figure(told.best or 0)} found"
    return f"{told.goal}: best {_figure(told.best)}, bound {_figure(told.bound)}"


def _figure(value: float | None) -> str:
    return "none yet" if value is None else f"{value:.10g}"
