"""Every rule checked once, from the day and the plan alone."""

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


def audit(day: Day, plan: Plan) -> list[Breach]:
    """Return every breach of every rule: none if the plan is valid.

    Parameters
    ----------
    day
        A day that `reading.read_day` takes.
    plan
        Any plan of the right shape, however wrong.

    Returns
    -------
    list[Breach]
        In the order of the rules; each names its code, what it concerns, and says it in words.
    """
    ledger = Ledger(day, plan)
    return list(dict.fromkeys(breach for rule in RULES for breach in rule(ledger)))
