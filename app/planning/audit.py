"""Every rule checked once, from the day and the plan alone, and from what has happened."""

from collections.abc import Iterable

from app.planning.auditing.ages import late, stale
from app.planning.auditing.breach import Breach
from app.planning.auditing.cover import backups, spares
from app.planning.auditing.crew import crew
from app.planning.auditing.eating import touched, unsafe
from app.planning.auditing.equipment import equipment
from app.planning.auditing.goals import goals
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.lineage import lineage
from app.planning.auditing.phases import before, phases
from app.planning.auditing.serving import unserved
from app.planning.auditing.shelf import shelf
from app.planning.auditing.takers import double
from app.planning.day import Day
from app.planning.events import AnyEvent
from app.planning.plan import Plan

RULES = (
    unserved,
    late,
    stale,
    double,
    lineage,
    touched,
    unsafe,
    backups,
    spares,
    goals,
    phases,
    equipment,
    crew,
    shelf,
    before,
)

__all__ = ["RULES", "Breach", "audit"]


def audit(
    day: Day, plan: Plan, events: Iterable[AnyEvent] = (), now: str | None = None
) -> list[Breach]:
    """Return every breach of every rule: none if the plan is valid.

    Parameters
    ----------
    day
        A day that `reading.read_day` takes; with events, the day as it stands after them.
    plan
        Any plan of the right shape, however wrong.
    events
        What has happened, in the order of the numbers: what has begun is taken as it happened.
    now
        The time now, where that is later than the last event; a local time.

    Returns
    -------
    list[Breach]
        In the order of the rules; each names its code, what it concerns, and says it in words.
    """
    ledger = Ledger(day, plan, events, now)
    return list(dict.fromkeys(breach for rule in RULES for breach in rule(ledger)))
