"""Whether the day is the day as it now stands: runs moved, added, dropped; closed, absent."""

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.day import Run
from app.planning.events import Absent, Added, Closed, Dropped, Moved

Told = Moved | Added | Dropped


def runs_as_told(ledger: Ledger) -> Breaches:
    """Yield the runs that are not when, or not as, somebody said last.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    last: dict[str, list[Told]] = {}
    for event in ledger.history.of_the_day:
        if isinstance(event, Told):
            run = event.run.id if isinstance(event, Added) else event.run
            last.setdefault(run, []).append(event)
    runs = {run.id: run for run in ledger.day.runs}
    for run, told in last.items():
        why = _why_not(ledger, runs.get(run), told)
        if why:
            yield Breach("unserved", (run,), f"run {tidy(run)} {why}.")


def _why_not(ledger: Ledger, run: Run | None, told: list[Told]) -> str | None:
    """Return how a run is not as it should be, None if it is."""
    is_dropped, starts = False, None
    for event in told:
        if isinstance(event, Moved):
            starts = event.starts
        else:
            is_dropped = isinstance(event, Dropped)
            starts = event.run.starts if isinstance(event, Added) else starts
    used = {beat for each, beat in ledger.history.used if run and each == run.id}
    if is_dropped:
        left = set(run.beats or ("all",)) if run else set()
        return None if left == used else f"was dropped, with {len(used)} of its beats shot"
    if run is None:
        return "is to be, and is not there"
    if starts not in (None, run.starts) and not used:
        return f"is to start at {starts}, and starts at {run.starts}"
    return None


def closed_as_told(ledger: Ledger) -> Breaches:
    """Yield the items that are open when somebody said that they are not.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    minute, items = ledger.clock.minute, {each.id: each for each in ledger.day.kitchen.equipment}
    for event in ledger.history.of_the_day:
        if isinstance(event, Closed) and event.equipment in items:
            spans = [(minute(a), minute(b)) for a, b in items[event.equipment].closed]
            starts, ends = minute(event.from_), minute(event.to)
            if not any(a <= starts and ends <= b for a, b in spans):
                yield Breach(
                    "equipment",
                    (event.equipment,),
                    f"{event.equipment} is closed from {ledger.at(starts)} to {ledger.at(ends)}, "
                    f"and the day does not say so.",
                )


def away_as_told(ledger: Ledger) -> Breaches:
    """Yield the crew who have a shift when somebody said that they are not there.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    minute, cooks = ledger.clock.minute, {each.id: each for each in ledger.day.kitchen.crew}
    for event in ledger.history.of_the_day:
        if isinstance(event, Absent) and event.crew in cooks:
            spans = [(minute(a), minute(b)) for a, b in cooks[event.crew].shifts]
            starts, ends = minute(event.from_), minute(event.to)
            if any(a < ends and starts < b for a, b in spans):
                yield Breach(
                    "crew",
                    (event.crew,),
                    f"{event.crew} is away from {ledger.at(starts)} to {ledger.at(ends)}, and the "
                    f"day does not say so.",
                )
