"""More slack tried out: the day planned again with other slack, each plan played, none published.

A trial is a plan of its own, worked out and audited like every other; only its figures are kept.
"""

import logging
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from fastapi import Request

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.risk.found import Risk
from app.web.jobs import PlanJob
from app.web.playing import NotPlayed, Player, playing_of

Kind = Literal["step_slack_min", "ready_margin_min"]
KINDS: tuple[Kind, ...] = ("step_slack_min", "ready_margin_min")
TRIED_MIN = {"step_slack_min": (0, 5, 10, 20, 30), "ready_margin_min": (0, 5, 10, 20, 30)}
# Counted work and no clock, so that a busy machine gives the same figures later and no worse ones.
TRIAL_WORK = 2.5
TRIAL_S = 10
POLITENESS = 10
_LOG = logging.getLogger(__name__)
Maker = Callable[[Day], PlanJob]


@dataclass(frozen=True)
class Trial:
    """What one plan with other slack costs and how sure it is; or why there is no such plan."""

    kind: Kind
    minutes: int
    is_now: bool
    cost: float = 0
    is_fewest: bool = False
    unmet: int = 0
    unbacked: int = 0
    losing: float = 0
    lost_uses: float = 0
    failed: str | None = None


@dataclass
class Series:
    """All trials of one plan: under way or over. `now` is the plan itself, once for each kind."""

    day: Day
    plan: Plan
    risk: Risk
    found: list[Trial] = field(default_factory=list)
    trying: tuple[Kind, int] | None = None
    since: float = field(default_factory=time.monotonic)
    is_stopped: bool = False
    done: threading.Event = field(default_factory=threading.Event)
    job: PlanJob | None = None

    @property
    def number(self) -> int:
        """Return how many plans are to be worked out."""
        return len(list(wanted(self.day)))

    @property
    def seconds(self) -> float:
        """Return how long it has been asked for."""
        return time.monotonic() - self.since

    def of(self, kind: Kind) -> list[Trial]:
        """Return what is known of one kind of slack, by its minutes, the plan itself among it."""
        tried = [each for each in self.found if each.kind == kind and not self._is_now(each)]
        return sorted([self.as_it_is(kind), *tried], key=lambda each: each.minutes)

    def as_it_is(self, kind: Kind) -> Trial:
        """Return the figures of the plan itself, as one of a kind of slack."""
        return trial_of(kind, self.now_min(kind), self.plan, self.risk, is_now=True)

    def alike(self, kind: Kind) -> Trial | None:
        """Return the slack of now planned like the others, as one of a kind.

        None: not known, or that plan is short of what the plan itself has.
        """
        anew = next((each for each in self.found if self._is_now(each) and not each.failed), None)
        goals = self.plan.objective
        if anew is None or anew.unmet > goals.unmet or anew.unbacked > goals.unbacked:
            return None
        return replace(anew, kind=kind, minutes=self.now_min(kind))

    def _is_now(self, trial: Trial) -> bool:
        return trial.minutes == self.now_min(trial.kind)

    def now_min(self, kind: Kind) -> int:
        """Return the minutes of a kind of slack that the house rules give now."""
        return int(getattr(self.day.policy, kind))

    def stop(self) -> None:
        """Let no more be tried; what is being tried comes to nothing."""
        self.is_stopped = True
        if self.job is not None:
            self.job.kill()


class Trials:
    """Holds the trials of each production, of its newest plan only."""

    def __init__(self, maker: Maker | None = None) -> None:
        self.maker: Maker = maker or _job
        self._kept: dict[int, Series] = {}
        self._turn = threading.Lock()

    def kept(self, production: int, day: Day, plan: Plan) -> Series | None:
        """Return the trials of a plan, if somebody asked for them."""
        found = self._kept.get(production)
        if found is None or found.plan != plan or found.day != day:
            return None
        return found

    def begin(self, production: int, day: Day, plan: Plan, risk: Risk, player: Player) -> None:
        """Have other slack tried, unless that is under way; trials of an older plan end."""
        with self._turn:
            before = self._kept.get(production)
            if before is not None and not before.done.is_set():
                if before.plan == plan and before.day == day:
                    return
                before.stop()
            series = self._kept[production] = Series(day, plan, risk)
        threading.Thread(target=self._work, args=(series, player), daemon=True).start()

    def stop(self, production: int) -> None:
        """End the trials of a production; what was found stays."""
        found = self._kept.get(production)
        if found is not None:
            found.stop()

    def _work(self, series: Series, player: Player) -> None:
        try:
            for kind, minutes in wanted(series.day):
                if series.is_stopped:
                    break
                series.trying = kind, minutes
                self._try(series, kind, minutes, player)
        except Exception:
            _LOG.exception("A trial failed.")
            series.is_stopped = True
        finally:
            series.trying = None
            series.done.set()

    def _try(self, series: Series, kind: Kind, minutes: int, player: Player) -> None:
        policy = series.day.policy.model_copy(update={kind: minutes})
        day = series.day.model_copy(update={"policy": policy})
        series.job = self.maker(day)
        if series.is_stopped:
            series.job.kill()
        plan = series.job.result()
        if series.is_stopped:
            return
        failed = series.job.failed or "There is no plan."
        trial = Trial(kind, minutes, is_now=False, failed=failed)
        if plan is not None:
            try:
                trial = trial_of(kind, minutes, plan, player(day, plan, None))
            except NotPlayed as sentence:
                trial = Trial(kind, minutes, is_now=False, failed=str(sentence))
        series.found.append(trial)


def wanted(day: Day) -> Iterator[tuple[Kind, int]]:
    """Yield what is to be tried: the slack of now, then each kind by itself, the other as it is.

    The plan itself may have had more work than a trial, so the others are compared with a trial.
    """
    yield KINDS[0], getattr(day.policy, KINDS[0])
    for kind in KINDS:
        for minutes in TRIED_MIN[kind]:
            if minutes != getattr(day.policy, kind):
                yield kind, minutes


def trial_of(kind: Kind, minutes: int, plan: Plan, risk: Risk, *, is_now: bool = False) -> Trial:
    """Return the figures of a plan; what it is short of lacks in every play, and counts 1 each."""
    return Trial(
        kind=kind,
        minutes=minutes,
        is_now=is_now,
        cost=plan.objective.cost,
        is_fewest=plan.bounds.cost is not None and plan.objective.cost <= plan.bounds.cost,
        unmet=plan.objective.unmet,
        unbacked=plan.objective.unbacked,
        losing=1.0 if plan.objective.unmet else risk.whole_day.losing,
        lost_uses=sum(use.losing for use in risk.uses),
    )


def trials_of(request: Request) -> Trials:
    """Return the trials of the app that answers."""
    state = request.app.state
    if not hasattr(state, "trials"):
        state.trials = Trials()
    found: Trials = state.trials
    return found


def player_of(request: Request) -> Player:
    """Return what plays a plan in the app that answers."""
    return playing_of(request).player


def _job(day: Day) -> PlanJob:
    return PlanJob(day, solver=_unadvised, politeness=POLITENESS)


def _unadvised(day: Day, **limits: Any) -> Plan:
    # Only the child carries the engine.
    from app.planning.solve import solve

    return solve(day, **limits, work=TRIAL_WORK)
