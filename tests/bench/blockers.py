"""Hold what is told to stand in the way against the planner, over many tiny random days.

`python -m tests.bench.blockers FROM TO` tells every fault and counts the rest.
"""

import sys
import time
from collections import Counter
from unittest.mock import patch

from app.planning.blockers.case import Case
from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.blockers.looking import hindrances_of, lacks_backups_only
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never
from tests.random_days import tiny_day


def clashes(day: Day, plan: Plan) -> list[Clash]:
    """Return the clashes of a day, as they are looked for around what its plan lacks."""
    return [*hindrances_of(day, plan, Watch(None, still, never, nobody)).clashes]


def surely_lacks(case: Case, kept: list[Fact]) -> bool | None:
    """Return whether a day with only some facts lacks something; None if the plan is not sure.

    The planner is given the eased scope: what keeps for ever asks for no more slack there.
    """
    scope = case.eased(kept)
    if not scope.day.demonstrations:
        return False
    with patch("app.planning.solve.Scope", lambda *_: scope):
        plan = solve(scope.day)
    if plan.objective.unmet == 0 and not (case.backups and plan.objective.unbacked):
        return False
    return True if plan.bounds.unmet or (case.backups and plan.bounds.unbacked) else None


def verdict(day: Day) -> tuple[str, list[str]]:
    """Return one word for what is told of a day, and what is wrong with it."""
    plan = solve(day)
    if not plan.unmet:
        return "served", []
    told = clashes(day, plan)
    case = Case(day, lacks_backups_only(plan))
    wrong = [fault for clash in told for fault in _faults(case, clash)]
    if wrong:
        return "wrong", wrong
    return ("told" if told else "not told"), []


def _faults(case: Case, clash: Clash) -> list[str]:
    """Return what is wrong with a clash. Runs keep their times in an eased day by themselves."""
    facts = [fact for fact in clash.facts if fact.kind != "run" or fact.part]
    wrong = []
    if surely_lacks(case, facts) is False:
        wrong.append(f"all of it is possible: {facts}")
    for fact in facts:
        if surely_lacks(case, [each for each in facts if each != fact]):
            wrong.append(f"{fact} can be spared of {facts}")
    return wrong


def main(begin: int, end: int) -> None:
    """Look at the days of the seeds from `begin` up to `end`."""
    verdicts: Counter[str] = Counter()
    began = time.monotonic()
    for seed in range(begin, end):
        word, wrong = verdict(read_day(tiny_day(seed)))
        verdicts[word] += 1
        if word not in ("served", "told"):
            print(seed, word, *wrong, sep="\n    ", flush=True)
    print(dict(verdicts), f"in {time.monotonic() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main(*(int(each) for each in sys.argv[1:]))
