"""From a day and the best plan of it to what stands in the way."""

from app.planning.blockers.asking import Asking
from app.planning.blockers.case import Case
from app.planning.blockers.clash import Clash
from app.planning.blockers.clashes import Clashes
from app.planning.blockers.deciding import Decider
from app.planning.blockers.facts import Fact
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.watch import Watch

CLASH_WORK = 4.5


def lacks_backups_only(plan: Plan) -> bool:
    """Tell whether a plan serves every need and lacks backups alone."""
    return plan.objective.unmet == 0


def clashes_of(
    day: Day, plan: Plan, watch: Watch, work: float = CLASH_WORK
) -> tuple[list[Clash], list[Fact]]:
    """Return the independent clashes of a day, as far as they are found within the work.

    Beside them come the needs that lack something and of which no clash tells why.

    Where copies lack, backups are left out of account: these come after.

    Parameters
    ----------
    day, plan
        A day and a plan that lacks something: it is looked for around what that is.
    watch
        The clock, the stop button and the listener.
    work
        Counted work in all.
    """
    backups = lacks_backups_only(plan)
    kind = "backups" if backups else "copies"
    lacking = [
        Fact("need", (lack.run, lack.beat, lack.stage)) for lack in plan.unmet if lack.kind == kind
    ]
    if not lacking:
        return [], []
    asking = Asking(Case(day, backups), Decider(watch, work))
    clashes = Clashes(asking)
    found = clashes.found(lacking)
    return found, [need for need in lacking if need not in clashes.told]
