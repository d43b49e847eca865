"""How long the planner may work, who may stop it, and whom it tells how far it is."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import copy
from dataclasses import dataclass, field, replace
from threading import Event, Thread

from ortools.sat.python import cp_model

from app.planning.plan import Plan, Remedy, StoppedBy

POLL_S = 0.02


def never() -> bool:
    """Return False: nobody asks to stop."""
    return False


@contextmanager
def stopped(solver: cp_model.CpSolver, is_over: Callable[[], bool]) -> Iterator[None]:
    """Let a solver stop within POLL_S once its work is over."""
    ended = Event()

    def listen() -> None:
        while not ended.wait(POLL_S):
            if is_over():
                solver.stop_search()

    listener = Thread(target=listen, daemon=True)
    listener.start()
    try:
        yield
    finally:
        ended.set()
        listener.join()


@dataclass(frozen=True)
class Progress:
    """How far the planner is: the goal in hand, the best so far, the proven bound.

    `found` is what can be shown meanwhile: a plan that lacks something, with what stands in its way
    once that is known; then the remedies so far.
    """

    goal: str
    best: float | None
    bound: float | None
    seconds: float
    found: Plan | tuple[Remedy, ...] | None = None


@dataclass
class Watch:
    """The clock, the stop button and the listener that were handed in.

    Parameters
    ----------
    seconds
        The limit by the clock; None: counted work.
    now
        A clock in seconds.
    stop
        Tells whether somebody asked to stop.
    tell
        Is told how far the work is.
    grace_s
        What was granted on top of the limit; what is kept back of it counts against that.
    """

    seconds: float | None
    now: Callable[[], float]
    stop: Callable[[], bool]
    tell: Callable[[Progress], None]
    grace_s: float = 0.0
    stopped_by: StoppedBy | None = None
    last: Progress = Progress("unmet", None, 0.0, 0.0)
    started: float = field(init=False)

    def __post_init__(self) -> None:
        """Start the clock."""
        self.started = self.now()

    @property
    def elapsed_s(self) -> float:
        """Return the seconds since the start."""
        return self.now() - self.started

    def over(self) -> bool:
        """Tell whether the work must end now, and note why."""
        if self.stop():
            self.stopped_by = "person"
        elif self.seconds is not None and self.elapsed_s >= self.seconds + self.grace_s:
            self.stopped_by = "clock"
        return self.stopped_by in ("person", "clock")

    def until(self, called_off: Callable[[], bool]) -> "Watch":
        """Return the same watch for work that may be called off before."""
        other = copy(self)
        other.stop = lambda: self.stop() or called_off()
        return other

    def limit(self, solver: cp_model.CpSolver, work: float) -> None:
        """Set the limit of one solve: counted work, and what is left by the clock."""
        solver.parameters.max_deterministic_time = max(work, 1e-3)
        if self.seconds is not None:
            left_s = self.seconds + self.grace_s - self.elapsed_s
            solver.parameters.max_time_in_seconds = max(left_s, 0.05)

    def grant(self, share: float) -> None:
        """See to it that a share of the limit is left, for what must be done again."""
        if self.seconds is not None and self.stopped_by != "person":
            left_s = self.seconds + self.grace_s - self.elapsed_s
            self.grace_s += max(0.0, self.seconds * share - left_s)
            self.stopped_by = None

    def keep_back(self, share: float) -> None:
        """Keep back a share of the limit for what comes last."""
        if self.seconds is not None:
            self.grace_s -= self.seconds * share

    def told(
        self,
        goal: str,
        best: float | None,
        bound: float | None,
        found: Plan | tuple[Remedy, ...] | None = None,
    ) -> None:
        """Tell how far the plan of the whole day is, and what was found of it for good."""
        self.last = Progress(goal, best, bound, self.elapsed_s)
        self.tell(replace(self.last, found=found))

    def told_again(self) -> None:
        """Tell that the work goes on, and that the plan of the whole day is where it was."""
        self.tell(replace(self.last, seconds=self.elapsed_s))


class Teller(cp_model.CpSolverSolutionCallback):
    """Tells that the work goes on; stops one solve when asked, and at the floor, or at any plan."""

    def __init__(self, watch: Watch, floor: int, any_will_do: bool = False) -> None:
        super().__init__()
        self.watch, self.floor, self.any_will_do = watch, floor, any_will_do

    def on_solution_callback(self) -> None:
        """Tell that a plan of some part of the day was found."""
        self.watch.told_again()
        if self.watch.over() or self.any_will_do or self.objective_value <= self.floor:
            self.stop_search()
