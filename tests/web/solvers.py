"""Stand-ins for the planner, for a child process to import: quick, slow, wrong, dying."""

import json
import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from app.planning.day import Day
from app.planning.plan import Plan, Remedy

GOLDEN = Path(__file__).parents[1] / "golden"
ABORTS = "STAGELARDER_TEST_ABORTS"


@dataclass(frozen=True)
class Progress:
    """What a planner tells on its way."""

    goal: str = "cost"
    best: float | None = 50
    bound: float | None = 48
    seconds: float = 1
    found: Plan | tuple[Remedy, ...] | None = None


def _ready() -> Plan:
    return Plan.model_validate(json.loads((GOLDEN / "knots.plan.json").read_text("utf-8")))


def quick(day: Day, *, tell: Callable[[Progress], None], number: int, **rest: Any) -> Plan:
    """Tell once and hand over the ready plan."""
    tell(Progress())
    return _ready().model_copy(update={"number": number})


def until_stopped(
    day: Day, *, stop: Callable[[], bool], tell: Callable[[Progress], None], **rest: Any
) -> Plan:
    """Search until somebody says stop, then hand over what there is."""
    while not stop():
        tell(Progress())
        time.sleep(0.01)
    return _ready().model_copy(update={"stopped_by": "person"})


def helping(
    day: Day, *, stop: Callable[[], bool], tell: Callable[[Progress], None], **rest: Any
) -> Plan:
    """Tell a plan that lacks something, then a remedy, then that and the better of two alike; look
    for others until somebody says stop.
    """
    plan = _ready()
    later, longer, long = (
        Remedy(change=(), words=f"{words}.", cost=1, hands_min=2)
        for words in ("Start it later", "Work for much longer", "Work longer")
    )
    tell(Progress("blockers", found=plan))
    for number, remedies in enumerate([(later,), (later, longer), (later, long)], 1):
        tell(Progress("remedies", number, None, found=remedies))
    until_stopped(day, stop=stop, tell=tell)
    return plan.model_copy(update={"remedies": (later, long)})


def wrong_meanwhile(
    day: Day, *, stop: Callable[[], bool], tell: Callable[[Progress], None], **rest: Any
) -> Plan:
    """Tell a plan that lost a batch, then hand over the whole one once somebody says stop."""
    plan = _ready()
    tell(Progress("blockers", found=plan.model_copy(update={"batches": plan.batches[1:]})))
    return until_stopped(day, stop=stop, tell=tell)


def wrong(day: Day, **rest: Any) -> Plan:
    """Hand over a plan that lost a batch."""
    plan = _ready()
    return plan.model_copy(update={"batches": plan.batches[1:]})


def failing(day: Day, **rest: Any) -> Plan:
    """Fail as a program fails."""
    raise ZeroDivisionError("nothing to divide by")


def dying(day: Day, **rest: Any) -> Plan:
    """Die as a process dies that the machine has no memory for."""
    os.kill(os.getpid(), 9)
    raise AssertionError


def aborting(day: Day, **rest: Any) -> Plan:
    """Abort as the engine does, as often as the file says, then hand over the ready plan."""
    file = Path(os.environ[ABORTS])
    left = int(file.read_text("utf-8"))
    if left > 0:
        file.write_text(str(left - 1), encoding="utf-8")
        os.abort()
    return _ready()
