"""When a copy waits in the kitchen, and so takes room on a shelf."""

from typing import NamedTuple

from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Item, Step

FOR_EVER = 10**12


class Wait(NamedTuple):
    """A copy stands from `starts` until `ends`, or as long as `latest`; or need not."""

    starts: int
    ends: int
    latest: int
    needed: bool = True

    def fits(self, starts: int, ends: int) -> bool:
        """Tell whether a place from `starts` to `ends` is this wait."""
        return starts == self.starts and self.ends <= ends <= self.latest


def waits(ledger: Ledger, item: Item) -> list[Wait] | None:
    """Return the waits of a copy in order of time, None where nobody can tell.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    item
        The copy.
    """
    begins = _begins(ledger, item)
    if begins is None:
        return None
    steps = list(ledger.steps(item))
    if not steps:
        return _untaken(ledger, item, begins)
    found = [_first(ledger, item, begins, steps[0])]
    found += [
        Wait(ledger.back(item, step.last), _ends(step), _ends(step), not step.on_set)
        for step in steps[1:]
        if step.last
    ]
    return [wait for wait in found if wait.starts < wait.ends]


def _begins(ledger: Ledger, item: Item) -> int | None:
    if item.left_by:
        return ledger.back(item, item.left_by)
    if item.stock and item.staged is not None:
        return max(item.staged, ledger.prep_from)
    return item.staged


def _ends(step: Step) -> int:
    return step.taking.demand.due if step.taking.demand else step.taking.start


def _untaken(ledger: Ledger, item: Item, begins: int) -> list[Wait] | None:
    """Return how long a backup or a spare stands."""
    backed = ledger.backed.get(item.copy.id)
    lost, now = ledger.lost_at(item), ledger.history.now
    if lost is not None:
        return [Wait(begins, begins, FOR_EVER, needed=False)]
    if backed:
        starts = max(demand.moment.start for demand in backed)
        return [Wait(begins, starts, FOR_EVER)] if begins < starts else []
    if item.copy.role != "spare" or item.stage is None or item.staged is None:
        return None
    ends = min(item.staged + item.stage.keeps_min, ledger.programme.ends)
    least = ends if now is None or not _is_there(ledger, item) else min(max(begins, now), ends)
    return [Wait(begins, least, ends, begins < least)] if begins < ends else []


def _is_there(ledger: Ledger, item: Item) -> bool:
    """Tell whether a copy is there for certain, so that it may be thrown away."""
    return item.making is None or ledger.is_begun(item.making)


def _first(ledger: Ledger, item: Item, begins: int, step: Step) -> Wait:
    """Return the wait until the first taker: as a backup, a copy stands until the use starts."""
    ends = latest = _ends(step)
    needed = not step.on_set
    starts = (demand.moment.start for demand in ledger.backed.get(item.copy.id, ()))
    backed = [start for start in starts if start < step.taking.start]
    if backed and max(backed) > ends:
        ends, latest = max(backed), step.taking.start
    return Wait(begins, ends, latest, needed or bool(backed))
