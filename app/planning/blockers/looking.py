"""From a day and the best plan of it to what stands in the way."""

from dataclasses import dataclass

from app.planning.blockers.asking import Asking
from app.planning.blockers.case import Case
from app.planning.blockers.clash import Clash
from app.planning.blockers.clashes import Clashes
from app.planning.blockers.deciding import Decider
from app.planning.blockers.excess import Excess
from app.planning.blockers.facts import Fact
from app.planning.blockers.tally import excesses
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.watch import Watch

CLASH_WORK = 4.0


@dataclass(frozen=True)
class Hindrances:
    """What stands in the way: independent clashes; how many copies, or backups, lack by them
    whatever the plan; needs that lack something and of which no clash tells why; and, where there
    are some, what there is too little of for all that is not told.
    """

    clashes: tuple[Clash, ...] = ()
    at_least: int = 0
    untold: tuple[Fact, ...] = ()
    excesses: tuple[Excess, ...] = ()

    @property
    def causes(self) -> tuple[Clash, ...]:
        """Return all against which something may help: first of all that hands are too few."""
        return (*(each.clash for each in self.excesses if each.hands), *self.clashes)


def lacks_backups_only(plan: Plan) -> bool:
    """Tell whether a plan serves every need and lacks backups alone."""
    return plan.objective.unmet == 0


def hindrances_of(day: Day, plan: Plan, watch: Watch, work: float = CLASH_WORK) -> Hindrances:
    """Return what stands in the way of a day, as far as it is found within the work.

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
        return Hindrances()
    case = Case(day, backups)
    clashes = Clashes(Asking(case, Decider(watch, work)))
    found = tuple(clashes.found(lacking))
    telling = clashes.telling
    untold = tuple(telling.untold(lacking))
    too_much = excesses(case, plan, untold, telling.told, watch) if untold else ()
    return Hindrances(found, telling.at_least(), untold, tuple(too_much))
