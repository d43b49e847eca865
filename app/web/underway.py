"""A day that is under way: the plans that mend one another, and all that was told of them."""

from dataclasses import dataclass
from functools import cached_property

from fastapi import Request

from app.planning.day import Day
from app.planning.day_now import day_now
from app.planning.given import numbers_in
from app.planning.minutes import MINUTE_S, Clock
from app.planning.moments import moved_along
from app.planning.plan import Batch, Plan
from app.planning.undoing import standing
from app.planning.unticked import as_planned, unticked
from app.storage.engine import reading
from app.storage.log import append
from app.storage.queries import plans, productions
from app.storage.queries.copies import names_since
from app.storage.queries.ticks import last_n, of_plan
from app.storage.ticks import AnyTick, tick_of
from app.web.desk import desk_of
from app.web.edited import edited
from app.web.errors import Told
from app.web.floor import now_s
from app.web.forms import new_once
from app.web.mending import mends_of
from app.web.seen import who


@dataclass(frozen=True)
class UnderWay:
    """What is known of a day that is under way.

    `fresh` is the day of the plan that was worked out fresh and mended ever since, `planned` that
    of the plan that holds, `stored` the production as it stands. `n` is the number of the last
    event, `told` that of the last one that the plan takes in.
    """

    fresh: Day
    planned: Day
    stored: Day
    plan: Plan
    ticks: list[AnyTick]
    n: int
    told: int

    @cached_property
    def day(self) -> Day:
        """Return the day as it is by all that was told."""
        return day_now(self.fresh, self.stands)

    @cached_property
    def stands(self) -> list[AnyTick]:
        """Return the ticks but for those that were taken back."""
        return standing(self.ticks)

    def unticked(self, now: int) -> list[Batch]:
        """Return the batches that should have started by a minute, and of which nobody spoke."""
        return unticked(self.day, self.plan, self.stands, now)

    def has_taken_back(self, tick: AnyTick) -> bool:
        """Return whether somebody told the same before and took it back."""
        stands = {each.n for each in self.stands}
        return any(
            (each.event, each.says()) == (tick.event, tick.says())
            for each in self.ticks
            if each.n not in stands
        )


def under_way(id: int) -> UnderWay:
    """Return what is known of a day; Told if it has no plan yet."""
    with reading() as conn:
        plan = plans.published(conn, id)
        if plan is None:
            words = "No plan is published yet, so there is nothing to mend."
            raise Told(409, words, then="The count", go=f"/productions/{id}/count")
        return UnderWay(
            fresh=plans.day_planned(conn, id, plans.root_number(conn, id)),
            planned=plans.day_planned(conn, id, plan.number),
            stored=productions.day(conn, id),
            plan=plan,
            ticks=of_plan(conn, id),
            n=last_n(conn, id),
            told=plans.told_to(conn, id),
        )


def have_mended(request: Request, id: int) -> None:
    """Have the published plan mended from what has happened by now.

    What the producer changed in the rundown since the plan was worked out is told first.
    """
    known, by = under_way(id), who(request)
    at = Clock(known.fresh.timezone).text(int(now_s(request)) // MINUTE_S)
    every = {"at": at, "by": by}
    says = edited(known.planned, known.stored, known.day)
    ticks = [tick_of({**each, **every, "once": new_once()}) for each in says]
    if new := [tick for tick in ticks if not known.has_taken_back(tick)]:
        append(id, new)
        known = under_way(id)
    with reading() as conn:
        given = numbers_in(names_since(conn, id, plans.root_number(conn, id)))
    mends = mends_of(known.fresh, known.planned, known.plan, known.ticks, at, known.n, given)
    desk_of(request).mend(id, mends, by)


def move_under_way(request: Request, id: int, run: str, starts: str, *, all_after: bool) -> None:
    """Tell that a run, or it and all that start with it or after it, starts at another time.

    Raises
    ------
    Refusal
        If the time is none, or the run has begun.
    """
    known = under_way(id)
    clock = Clock(known.fresh.timezone)
    was = {each.id: each.starts for each in known.day.runs}
    every = {"event": "moved", "by": who(request)}
    every["at"] = clock.text(int(now_s(request)) // MINUTE_S)
    told = [tick_of({**every, "run": run, "starts": starts, "once": new_once()})]
    if all_after and run in was:
        later_min = clock.minute(starts) - clock.minute(was[run])
        others = [each for each in moved_along(clock, was, run, starts) if each != run]
        thens = [clock.text(clock.minute(was[each]) + later_min) for each in others]
        told += [
            tick_of({**every, "run": each, "starts": then, "once": new_once()})
            for each, then in zip(others, thens, strict=True)
        ]
    append(id, told)
    have_mended(request, id)


def tick_as_planned(request: Request, id: int) -> None:
    """Tick all that should have started by now as started and staged when it was planned."""
    known, by = under_way(id), who(request)
    now = int(now_s(request)) // MINUTE_S
    due = as_planned(known.fresh, known.unticked(now), now)
    said = [{"event": each.event, "batch": each.batch, "at": each.at} for each in due]
    append(id, [tick_of({**says, "by": by, "once": new_once()}) for says in said])
