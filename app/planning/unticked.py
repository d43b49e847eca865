"""Batches that should have started and of which nobody spoke, and what would say that they did."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from app.planning.begun import begun_batches
from app.planning.day import Day
from app.planning.events import AnyEvent
from app.planning.minutes import Clock
from app.planning.plan import Batch, Plan


@dataclass(frozen=True)
class Due:
    """What was planned to have happened to a batch by now; `at` is its local time."""

    event: Literal["started", "staged"]
    batch: str
    at: str


def unticked(day: Day, plan: Plan, told: Sequence[AnyEvent], now: int) -> list[Batch]:
    """Return the batches that should have started before a minute, and of which nobody spoke.

    Parameters
    ----------
    day, told
        The day as it is by all that was told, and that, but for what was taken back.
    plan
        The plan that people work from.
    now
        The minute now.
    """
    clock = Clock(day.timezone)
    begun = begun_batches(day, plan, told, now)
    return [
        batch
        for batch in plan.batches
        if batch.id not in begun and clock.minute(batch.starts) < now
    ]


def as_planned(day: Day, batches: Iterable[Batch], now: int) -> list[Due]:
    """Return that batches started and were staged when it was planned, by a minute, in its order.

    Parameters
    ----------
    day
        The day, whose clock tells the times.
    batches
        Those that are taken as begun.
    now
        The minute now.
    """
    clock = Clock(day.timezone)
    due = [
        each
        for batch in batches
        for each in (
            Due("started", batch.id, batch.starts),
            Due("staged", batch.id, batch.ends),
        )
        if clock.minute(each.at) <= now
    ]
    return sorted(due, key=lambda each: (clock.minute(each.at), each.event == "staged"))
