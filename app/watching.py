"""A plan being worked out, watched from a terminal."""

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.planning.plan import Plan
    from app.web.jobs import PlanJob

LOOK_S = 0.2


def watched(job: "PlanJob") -> "Plan | None":
    """Wait for the plan, tell how far it is on a terminal, and let Ctrl-C stop it."""
    stops = 0
    while not job.is_done:
        try:
            job.result(LOOK_S)
            _tell(job)
        except KeyboardInterrupt:
            stops += 1
            job.kill() if stops > 1 else job.stop()
    _tell(None)
    return job.result()


def _tell(job: "PlanJob | None") -> None:
    if not sys.stderr.isatty():
        return
    told = job.progress() if job else None
    line = ""
    if told is not None:
        best, bound = (_figure(each) for each in (told.best, told.bound))
        line = f"{told.goal}: best {best}, bound {bound}, {told.seconds:.0f} s"
    print(f"\r\x1b[K{line}", end="", file=sys.stderr, flush=True)


def _figure(value: float | None) -> str:
    return "none yet" if value is None else f"{value:.10g}"
