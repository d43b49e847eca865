"""Whether what somebody tells of runs, equipment and people can be, beside all that was told."""

from collections.abc import Sequence

from app.planning.day import Day
from app.planning.event_log import Line, read_events
from app.planning.plan import Plan
from app.planning.refusals.fault import Refused
from app.storage.ticks import AnyTick, TickRefused


def refuse_impossible(day: Day, plan: Plan, ticks: Sequence[AnyTick], tick: AnyTick) -> None:
    """Raise TickRefused if a tick cannot follow those of a log; the rules are those of a file.

    Parameters
    ----------
    day
        The day of the plan that was worked out fresh: what was told since is not in it.
    plan
        The plan that holds.
    ticks
        All that was told since, in order.
    tick
        What is told now.
    """
    number = (ticks[-1].n or 0) + 1 if ticks else 1
    told = [*ticks, tick.model_copy(update={"n": number})]
    lines = [
        Line(at, each.model_dump(mode="json", exclude_none=True)) for at, each in enumerate(told, 1)
    ]
    try:
        read_events(lines, day, plan)
    except Refused as refused:
        for fault in refused.faults:
            if fault.place.split(",")[0] == f"line {len(told)}":
                raise TickRefused(f"This cannot be: {fault.words}.") from refused
